// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/onset_strength.h"
#include "beats/tempo.h"

#include <vector>

namespace downball::beats {

// Beats in frames of the onset strength, one unbroken run from the first sound to the last.
struct BeatPath {
    std::vector<double> frames;
    double score = 0; // mean over time, in units of the onset strength's spread
};

// The best run of beats whose periods stay within 9 % of what the curve says thereabouts. None where the song
// is shorter than two beats, or beats shorter than four frames.
BeatPath best_path(const OnsetStrength& onsets, const TempoCurve& curve);

} // namespace downball::beats
