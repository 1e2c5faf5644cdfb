// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include <cstdio>
#include <downball/analysis/listen.h>
#include <downball/time/timecode.h>

int main(int argc, char** argv) {
    const auto label = downball::to_timecode({1800}, downball::Rate(30000, 1001), downball::Counting::drop);
    if (!label || *label != "00:01:00;02") return 1;
    if (argc < 2) return 2;
    const auto grid = downball::analysis::find_beats(argv[1]);
    if (!grid) return 3;
    std::printf("%zu beats at %.2f BPM\n", grid->beats.size(), grid->tempo_bpm);
    return grid->beats.empty() ? 4 : 0;
}
