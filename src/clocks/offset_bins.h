// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/clocks/day_clock.h"

#include <span>
#include <vector>

namespace downball::clocks {

inline constexpr double bin_s = 4; // about half a rally

// Middles of the bins of offsets that most differences between contacts of the two cameras vote for, fullest first, none
// beside a fuller one. All recordings have a begin.
std::vector<double> full_bins(std::span<const Recording* const> ours,
                              std::span<const Recording* const> theirs);

} // namespace downball::clocks
