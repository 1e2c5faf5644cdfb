// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/clocks/day_clock.h"

#include <span>
#include <utility>
#include <vector>

namespace downball::clocks {

// How far apart two microphones hear one contact at most, beyond what they are apart as a rule: a ball moves 16 m
// along the court (facts of the game), so the ways of its sound to two places differ by 47 ms to either side.
inline constexpr double reach_s = 0.1;

// How far off the recording may be placed, by its own clock and by the offset of its camera's.
inline double slack_of(const Offset& offset, const Recording& recording) {
    return recording.began->step_s / 2 + offset.error_s;
}

// A way to lay the contacts of one recording on those of another: theirs = ours + lag.
struct Lag {
    double lag_s = 0; // mean over the pairs, weighed by confidence
    double score = 0; // sum over the pairs, less what stands alone where both listened; 1 = a sure pair
    std::size_t pairs = 0;
};

// Pairs of contacts within reach at this lag, in order; each contact at most once, nearest first come.
std::vector<std::pair<std::size_t, std::size_t>> pair_contacts(std::span<const Contact> ours,
                                                               std::span<const Contact> theirs, double lag_s);

// Lags from `from_s` to `to_s` with at least two pairs, best first; of lags within reach of each other the best.
std::vector<Lag> find_lags(const Recording& ours, const Recording& theirs, double from_s, double to_s,
                           std::size_t most);

} // namespace downball::clocks
