// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// What reading the sound of long files costs, beside the ffmpeg program that decodes the same sound to nowhere.
//   decode_bench FOLDER [ROUNDS [SECONDS [FILES...]]]
// FOLDER holds the files; missing ones are made there. Each round runs all that is compared by turns, each in a process
// of its own; medians over the rounds are printed, one line a file, columns apart by blanks, names without any.
#include "bench/decode_files.h"
#include "bench/one_run.h"
#include "media/content_id.h"

#include "downball/media/audio_reader.h"
#include "downball/media/probe.h"

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <fmt/format.h>
#include <string>
#include <vector>

using namespace downball;
using bench::Run;

namespace {

// What one process is to do with one file; its sound's length in seconds comes out on stdout.
int work_on(const std::string& what, const std::string& path) {
    if (what == "id") return media::content_id(path) ? 0 : 1;
    if (what == "probe") {
        const auto info = media::probe(path, {.id = false});
        return info && info->audio ? 0 : 1;
    }
    auto reader = media::AudioReader::open(path, {.song = what == "song"});
    if (!reader) return 1;
    std::size_t frames = 0;
    for (;;) {
        const auto block = reader->read();
        if (!block) return 1;
        if (block->frames == 0) break;
        frames += block->frames;
    }
    for (const auto& note : reader->notes())
        fmt::print(stderr, "{}: {}\n", path, note);
    fmt::print("{:.3f}\n", static_cast<double>(frames) / reader->rate_hz());
    return 0;
}

template <class Value>
Value median(std::vector<Value> values) {
    std::ranges::sort(values);
    return values[values.size() / 2];
}

double median_cpu(const std::vector<Run>& runs) {
    std::vector<double> values;
    for (const Run& run : runs)
        values.push_back(run.cpu_s);
    return median(std::move(values));
}

void compare(const std::string& self, const bench::DecodeFile& file, const std::string& path, int rounds) {
    std::vector<Run> ours, theirs, probes, ids;
    const std::string how = file.song ? "song" : "decode";
    for (int round = 0; round < rounds; ++round) {
        ours.push_back(bench::run({self, "--only", how, path}));
        theirs.push_back(
            bench::run({"ffmpeg", "-nostdin", "-v", "error", "-vn", "-i", path, "-f", "null", "-"}));
        probes.push_back(bench::run({self, "--only", "probe", path}));
        ids.push_back(bench::run({self, "--only", "id", path}));
    }
    for (const auto* runs : {&ours, &theirs, &probes, &ids})
        for (const Run& run : *runs)
            if (!run.good) {
                fmt::print(stderr, "failed: {}\n", path);
                std::exit(1);
            }
    // The median of ratios within rounds: what else the machine does weighs on both sides of each.
    std::vector<double> ratios;
    for (std::size_t i = 0; i < ours.size(); ++i)
        ratios.push_back(ours[i].cpu_s / theirs[i].cpu_s);
    const auto mib = [](std::int64_t bytes) { return static_cast<double>(bytes) / (1 << 20); };
    fmt::print(
        "{:<14} {:>8.0f} {:>8.3f} {:>8.3f} {:>6.2f} {:>8.3f} {:>7.3f} {:>9.1f} {:>9.1f} {:>9.1f} {:>8.1f} "
        "{:>8.1f}\n",
        file.name, std::atof(ours.front().said.c_str()), median_cpu(ours), median_cpu(theirs),
        median(std::move(ratios)), median_cpu(probes), median_cpu(ids), mib(ours.front().read_bytes),
        mib(theirs.front().read_bytes), mib(probes.front().read_bytes), mib(ours.front().peak_bytes),
        mib(probes.front().peak_bytes));
}

} // namespace

int main(int argc, char** argv) {
    if (argc == 4 && std::string(argv[1]) == "--only") return work_on(argv[2], argv[3]);
    if (argc < 2) {
        fmt::print(stderr, "usage: decode_bench FOLDER [ROUNDS [SECONDS [FILES...]]]\n");
        return 2;
    }
    std::setvbuf(stdout, nullptr, _IOLBF, 0); // lines come as they are measured
    const int rounds = argc > 2 ? std::max(1, std::atoi(argv[2])) : 3;
    const int seconds = argc > 3 ? std::max(60, std::atoi(argv[3])) : 1200;
    const std::vector<std::string> wanted(argv + std::min(argc, 4), argv + argc);
    fmt::print("{:<14} {:>8} {:>8} {:>8} {:>6} {:>8} {:>7} {:>9} {:>9} {:>9} {:>8} {:>8}\n", "file",
               "sound_s", "cpu_s", "ffmpeg_s", "ratio", "probe_s", "id_s", "read_mib", "ffmp_mib",
               "probe_mib", "peak_mib", "p_peak");
    for (const auto& file : bench::decode_files())
        if (wanted.empty() || std::ranges::count(wanted, file.name) > 0)
            compare(argv[0], file, bench::make_file(argv[1], file, seconds), rounds);
    return 0;
}
