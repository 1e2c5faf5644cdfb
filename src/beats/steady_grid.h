// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/onset_clock.h"

#include <optional>
#include <vector>

namespace downball::beats {

// One tempo throughout: beat k at offset_s + k * period_s.
struct SteadyGrid {
    double offset_s = 0;
    double period_s = 0;
    double residual_s = 0; // RMS distance of the onsets that follow it
    double wander_s = 0;   // how far whole stretches of 16 beats lie off it (9 in 10 lie nearer)
};

// The grid that the beats follow over the whole song, or nothing if they follow none.
std::optional<SteadyGrid> fit_steady(const OnsetClock& clock, const std::vector<double>& beats_s);

// The same for beats that are known to be of one tempo, but only to a frame or two; nothing if whole stretches
// lie off it.
std::optional<SteadyGrid> refine_grid(const OnsetClock& clock, const std::vector<double>& grid_s);

// Beats of a song that is not steady: each on its own onset where one is plain, between its neighbours where
// not.
std::vector<double> follow(const OnsetClock& clock, const std::vector<double>& beats_s);

} // namespace downball::beats
