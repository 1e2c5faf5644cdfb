// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/time/rate.h"

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace downball::media {

// The rate a container states as a fraction, snapped to the trade's rates where it is near one; nothing for
// 0/0 and for rates no camera has (above 1000).
std::optional<Rate> stated_rate(std::int64_t num, std::int64_t den);

// The one rate at which all instants lie: instant k = first + k / rate, with at most 1.5 ticks of rounding
// (coarse time bases) or a twentieth of a frame between. `ticks` are in order, a tick lasts `tick_s`.
// Tried are the rates the container states, then the mean rate of the instants; the best fit wins, the
// earlier one unless a later one is better by half a tick. Nothing if none fits: the rate is variable. A
// single instant has the first stated rate.
std::optional<Rate> constant_rate(std::span<const std::int64_t> ticks, Fraction tick_s,
                                  std::span<const Rate> stated);

// How far an instant lies at most from first + k / rate, in ticks.
double off_rate_ticks(std::span<const std::int64_t> ticks, Fraction tick_s, Rate rate);

// Frames a second from the first instant to the last; 0 for fewer than two.
double mean_rate(std::span<const std::int64_t> ticks, Fraction tick_s);

} // namespace downball::media
