// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "documents.h"
#include "encode.h"
#include "files.h"
#include "song.h"

#include <atomic>
#include <csignal>
#include <filesystem>
#include <fmt/format.h>
#include <mutex>
#include <thread>

using namespace downball;
using namespace downball::sample;

namespace {

// Two takes at a time; the first failure stops both workers.
Result<void> make_takes(Scenario& scenario, const std::string& folder) {
    const Crowd crowd;
    std::atomic<std::size_t> next{0};
    std::mutex guard;
    Result<void> outcome;
    const auto work = [&] {
        for (std::size_t i = next++; i < scenario.takes.size(); i = next++) {
            const auto done = encode_take(scenario.takes[i], scenario, crowd, folder);
            const std::scoped_lock lock(guard);
            if (!done) {
                if (outcome) outcome = done;
                next = scenario.takes.size();
                return;
            }
            fmt::print(stderr, "{}\n", scenario.takes[i].file);
        }
    };
    std::jthread second(work);
    work();
    second.join();
    return outcome;
}

Result<void> make_all(const std::string& folder) {
    Scenario scenario = make_scenario();
    if (const auto broken = broken_promises(scenario); !broken.empty()) {
        std::string all;
        for (const std::string& b : broken)
            all += "\n  promised: " + b;
        return Error{Fault::internal, "the scenario does not keep its promises:" + all, ""};
    }
    std::error_code failed;
    for (const char* camera : {"CAM_A", "CAM_B", "CAM_C"})
        if (std::filesystem::create_directories(folder + "/footage/" + camera, failed); failed)
            return Error{Fault::cannot_write, "cannot make a folder there: " + failed.message(), folder};
    const Stereo song = make_song();
    if (auto done = write_wav(folder + "/song.wav", song.left, song.right); !done) return done;
    if (auto done = make_takes(scenario, folder); !done) return done;
    if (auto done = write_text(folder + "/job.json", job_json(scenario)); !done) return done;
    if (auto done = write_text(folder + "/log.csv", log_csv(scenario)); !done) return done;
    return write_text(folder + "/truth.json", truth_json(scenario));
}

} // namespace

int main(int argc, char** argv) {
    if (argc != 2 || argv[1][0] == '-') {
        fmt::print(stderr,
                   "usage: downball_sample OUT_DIR\nWrites the sample's footage, song, job and log there.\n");
        return 2;
    }
    std::signal(SIGPIPE, SIG_IGN); // a dead encoder is told by the failed write
    if (const auto done = make_all(argv[1]); !done) {
        fmt::print(stderr, "downball_sample: {}\n", to_string(done.error()));
        return done.error().fault == Fault::cannot_write ? 5 : 1;
    }
    return 0;
}
