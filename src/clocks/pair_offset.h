// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/clocks/day_clock.h"

#include <optional>
#include <span>

namespace downball::clocks {

// What to add to the first camera's clock to have the second's: the offset at which their recordings heard most
// rallies together. All recordings have a begin. Nothing where no two of them can have heard one rally.
// Method: all differences between contacts of the two vote for bins of a few seconds (a Hough transform); around
// the fullest bins, for every two recordings that would overlap, the lags that lay contact on contact; and of these
// the line offset + drift x time that most of them, by score, agree with to within what the clocks tell.
std::optional<Offset> pair_offset(std::span<const Recording* const> ours,
                                  std::span<const Recording* const> theirs, const LongWork& work);

} // namespace downball::clocks
