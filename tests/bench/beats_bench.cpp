// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// Processor time of the beat finder per minute of song, streaming and deciding apart. The songs are the same each
// time; with --one only a minute of the first is taken, for instruction counts, and its beats are printed.
#include "support/song_patterns.h"

#include "downball/beats/beat_finder.h"

#include <algorithm>
#include <ctime>
#include <fmt/core.h>
#include <string_view>

using namespace downball;

namespace {

double cpu_s() {
    return static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
}

void measure(const char* name, int rate, int channels, const test::Pattern& pattern, double bpm,
             double minutes, bool list = false) {
    test::Mix mix(rate, 60 * minutes);
    const int bars = static_cast<int>(60 * minutes * bpm / 60 / pattern.beats);
    test::play(mix, pattern, bars, [=](int) { return bpm; });
    const auto& samples = mix.samples();

    beats::BeatFinder finder(rate, channels);
    const double start = cpu_s();
    for (std::size_t at = 0; at < samples.size(); at += 4096) {
        const std::vector<const float*> block(static_cast<std::size_t>(channels), samples.data() + at);
        if (!finder.push({block, std::min<std::size_t>(4096, samples.size() - at)})) return;
    }
    const double streamed = cpu_s();
    const auto grid = finder.finish();
    const double decided = cpu_s();
    if (!grid) return;
    if (list)
        for (const Beat& beat : grid->beats)
            fmt::print("{:.9f} {} {:.7f}\n", beat.seconds, beat.position, beat.strength);
    fmt::print("{:32} {:4.1f} min: {:5.3f} s a minute (streaming {:5.3f}, deciding {:5.3f}); {:.3f} BPM\n",
               name, minutes, (decided - start) / minutes, (streamed - start) / minutes,
               (decided - streamed) / minutes, grid->tempo_bpm);
}

} // namespace

int main(int argc, char** argv) {
    const bool one = argc > 1 && std::string_view(argv[1]) == "--one";
    if (one) {
        measure("stereo 44.1 kHz, back-beat", 44100, 2, test::back_beat, 104, 1, true);
        return 0;
    }
    measure("stereo 44.1 kHz, back-beat", 44100, 2, test::back_beat, 104, 3);
    measure("stereo 48 kHz, four on the floor", 48000, 2, test::four_on_the_floor, 128, 3);
    measure("mono 44.1 kHz, breakbeat", 44100, 1, test::breakbeat, 174, 3);
    measure("stereo 192 kHz, back-beat", 192000, 2, test::back_beat, 104, 1);
}
