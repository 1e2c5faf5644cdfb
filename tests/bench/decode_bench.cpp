// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// What reading the sound of long files costs, beside the ffmpeg program that decodes the same sound to nowhere.
//   decode_bench FOLDER [ROUNDS [SECONDS [FILES...]]]
// FOLDER holds the files; missing ones are made there. Each round runs all that is compared by turns, each in a process
// of its own; medians over the rounds are printed, one line a file, columns apart by blanks, names without any: CPU of
// decoding, of ffmpeg and the ratio of the two, of probe, content id, and probe and decoding from one reading (both);
// bytes read by each; the highest memory. FILES are names of the first column.
#include "bench/decode_files.h"
#include "bench/one_run.h"

#include "downball/media/audio_reader.h"
#include "downball/media/clip_reader.h"
#include "downball/media/content_id.h"
#include "downball/media/probe.h"

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <fmt/format.h>
#include <string>
#include <tuple>
#include <vector>

using namespace downball;
using bench::Run;

namespace {

// Takes all of the sound; its length in seconds comes out on stdout.
bool take(media::AudioReader& reader, const std::string& path) {
    std::size_t frames = 0;
    for (;;) {
        const auto block = reader.read();
        if (!block) return false;
        if (block->frames == 0) break;
        frames += block->frames;
    }
    for (const auto& note : reader.notes())
        fmt::print(stderr, "{}: {}\n", path, note);
    fmt::print("{:.3f}\n", static_cast<double>(frames) / reader.rate_hz());
    return true;
}

// What one process is to do with one file.
bool work_on(const std::string& what, const std::string& path) {
    if (what == "id") return static_cast<bool>(media::content_id(path));
    if (what == "probe") {
        const auto info = media::probe(path, {.id = false});
        return info && info->audio;
    }
    if (what == "both") {
        auto clip = media::ClipReader::open(path, {.id = false});
        return clip && clip->sound() && take(*clip->sound(), path) && static_cast<bool>(clip->finish());
    }
    auto reader = media::AudioReader::open(path, {.song = what == "song"});
    return reader && take(*reader, path);
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
    const std::vector<std::vector<std::string>> commands{
        {self, "--only", file.song ? "song" : "decode", path},
        {"ffmpeg", "-nostdin", "-v", "error", "-vn", "-i", path, "-f", "null", "-"},
        {self, "--only", "probe", path},
        {self, "--only", "id", path},
        {self, "--only", "both", path}};
    std::vector<std::vector<Run>> runs(commands.size());
    for (int round = 0; round < rounds; ++round)
        for (std::size_t i = 0; i < commands.size(); ++i) {
            runs[i].push_back(bench::run(commands[i]));
            if (runs[i].back().good) continue;
            fmt::print(stderr, "failed: {}\n", fmt::join(commands[i], " "));
            std::exit(1);
        }
    // The median of ratios within rounds: what else the machine does weighs on both sides of each.
    std::vector<double> ratios;
    for (std::size_t i = 0; i < runs[0].size(); ++i)
        ratios.push_back(runs[0][i].cpu_s / runs[1][i].cpu_s);
    const auto mib = [](std::int64_t bytes) { return static_cast<double>(bytes) / (1 << 20); };
    const auto& [ours, theirs, probes, ids, both] = std::tie(runs[0], runs[1], runs[2], runs[3], runs[4]);
    fmt::print(
        "{:<12} {:>8.0f} {:>8.3f} {:>8.3f} {:>6.2f} {:>8.3f} {:>8.3f} {:>8.3f} {:>9.1f} {:>9.1f} {:>9.1f} "
        "{:>9.1f} {:>8.1f}\n",
        file.name, std::atof(ours.front().said.c_str()), median_cpu(ours), median_cpu(theirs),
        median(std::move(ratios)), median_cpu(probes), median_cpu(ids), median_cpu(both),
        mib(ours.front().read_bytes), mib(theirs.front().read_bytes), mib(probes.front().read_bytes),
        mib(both.front().read_bytes), mib(std::max(ours.front().peak_bytes, both.front().peak_bytes)));
}

} // namespace

int main(int argc, char** argv) {
    if (argc == 4 && std::string(argv[1]) == "--only") return work_on(argv[2], argv[3]) ? 0 : 1;
    if (argc < 2) {
        fmt::print(stderr, "usage: decode_bench FOLDER [ROUNDS [SECONDS [FILES...]]]\n");
        return 2;
    }
    std::setvbuf(stdout, nullptr, _IOLBF, 0); // lines come as they are measured
    const int rounds = argc > 2 ? std::max(1, std::atoi(argv[2])) : 3;
    const int seconds = argc > 3 ? std::max(60, std::atoi(argv[3])) : 1200;
    const std::vector<std::string> wanted(argv + std::min(argc, 4), argv + argc);
    fmt::print("{:<12} {:>8} {:>8} {:>8} {:>6} {:>8} {:>8} {:>8} {:>9} {:>9} {:>9} {:>9} {:>8}\n", "file",
               "sound_s", "cpu_s", "ffmpeg_s", "ratio", "probe_s", "id_s", "both_s", "read_mib", "ffmp_mib",
               "probe_mib", "both_mib", "peak_mib");
    for (const auto& file : bench::decode_files())
        if (wanted.empty() || std::ranges::count(wanted, file.name) > 0)
            compare(argv[0], file, bench::make_file(argv[1], file, seconds), rounds);
    return 0;
}
