// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/offers.h"

#include "downball/base/long_work.h"

#include <cstdint>

namespace downball::solve {

// Simulated annealing (Kirkpatrick, Gelatt and Vecchi 1983) over cuts that keep all limits: shots change
// their take or beat, come, go, or change places. `heat` falls from the first to the last value by equal
// ratios; it is told in what a shot of usual length weighs in the score.
struct Cooling {
    std::uint64_t seed = 1;
    std::size_t tries = 0;
    double hot = 0.1, cold = 0.02;
};

// The best cut met, or the given one.
Cut anneal(const Setting& setting, const Rows& rows, const QualityTable& qualities, const Offers& offers,
           const std::vector<Pin>& pins, const Cut& start, const Cooling& cooling, const LongWork& work);

} // namespace downball::solve
