// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "synth.h"

#include <string_view>
#include <vector>

namespace downball::sample {

struct SongSection {
    std::string_view name;
    int first_bar, bars;
};

inline constexpr double song_bpm = 126;      // 11.905 frames a beat at 25: never a whole number
inline constexpr double song_offset_s = 0.4; // of the first downbeat
std::vector<SongSection> song_sections();
int song_bars();
inline double song_beat_s(double beat) {
    return song_offset_s + beat * 60 / song_bpm;
}

// Composed for this sample, in D minor. True peak at -1 dBTP.
Stereo make_song();

} // namespace downball::sample
