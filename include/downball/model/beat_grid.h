// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace downball {

// One beat of the song. Seconds are media seconds: from the first presented sample of the song file, or, where it
// has pictures, from the first of them.
struct Beat {
    double seconds = 0;
    int position = 0;    // in the bar: 1 = downbeat; 0 = not known
    double strength = 0; // 0..1 within this song: how plainly something is struck on it
    double energy = 0;   // 0..1 within this song: loudness around it
};

// A stretch of the song with one character, borders on beats. [first, last) are beat indices.
struct Section {
    std::size_t first = 0;
    std::size_t last = 0;
    double energy = 0; // mean of its beats, 0..1
};

// Below this confidence the beats are told as uncertain.
inline constexpr double low_confidence = 0.5;

struct BeatGrid {
    std::vector<Beat> beats; // in order; strictly increasing seconds
    double duration_s = 0;   // of the song
    double tempo_bpm = 0;    // of the grid, or the median of the beats' periods
    int beats_per_bar = 0;   // 0 = not known
    bool steady = false;     // one tempo throughout: beats lie on offset + k x period
    double residual_s = 0;   // steady: RMS distance of the single beats found from the grid
    double confidence = 0;   // 0..1: that these are the beats
    double downbeat_confidence = 0;
    std::vector<Section> sections;
    std::optional<std::size_t> arrival; // the beat at which the strongest rise in energy lands
};

} // namespace downball
