// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/onset_strength.h"

#include "downball/beats/beat_finder.h"

#include <vector>

namespace downball::beats {

// Tempi worth a closer look, likeliest first: peaks of a whole-song periodogram, and their metrical kin.
struct TempoGuess {
    double period_s = 0;
    double salience = 0; // 0..1: mean autocorrelation of the onsets at the period's multiples
};

std::vector<TempoGuess> guess_tempi(const OnsetStrength& onsets, const BeatOptions& options);

// Log of the tempo prior, 0 at its peak (log-normal; van Noorden & Moelants 1999 found the peak near 120).
double tempo_prior(double period_s, const BeatOptions& options);

} // namespace downball::beats
