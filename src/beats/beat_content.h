// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/onset_strength.h"
#include "beats/song_features.h"

#include "downball/model/beat_grid.h"

#include <vector>

namespace downball::beats {

// What stands on and inside each beat; every vector has one entry a beat.
struct BeatContent {
    std::vector<double> low, mid, presence, high; // onset strength on the beat, by register
    std::vector<double> bass_db;                  // power under 150 Hz, from this beat to the next
    std::vector<BeatTexture> textures;
    std::vector<double> lufs;                   // the same stretch, ITU-R BS.1770 without gates
    std::vector<std::vector<double>> colour_db; // power in each octave from 150 Hz up, same stretch
    std::vector<std::vector<double>> chord;     // its tones in twelve classes of pitch, sum of squares 1
    double song_lufs = -70;                     // of the whole song, gated
};

BeatContent beat_content(const SongFeatures& song, const OnsetStrength& onsets,
                         const std::vector<double>& beats_s);

} // namespace downball::beats
