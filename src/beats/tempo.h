// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/onset_strength.h"

#include "downball/beats/beat_finder.h"

#include <vector>

namespace downball::beats {

// How long a beat is, all through the song: period_s[k] at k * step_s, constant beyond the ends.
struct TempoCurve {
    double step_s = 0;
    std::vector<double> period_s;
    double salience = 0; // 0..1: mean autocorrelation of the onsets at the periods' multiples

    double quantile_s(double share) const; // of the periods; 0.5 = their median
};

// Tempi worth a closer look, likeliest first: the clearest curve through the local autocorrelations, its
// metrical kin, and what else is periodic in the song; 12 at most. None where nothing sounds.
std::vector<TempoCurve> guess_tempi(const OnsetStrength& onsets, const BeatOptions& options);

// Log of the tempo prior, 0 at its peak (log-normal; van Noorden & Moelants 1999 found the peak near 120).
double tempo_prior(double period_s, const BeatOptions& options);

} // namespace downball::beats
