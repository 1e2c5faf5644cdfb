// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/tags.h"

#include <optional>

namespace downball {

// Serve, attack and block, as a rule, are struck harder than pass, set and dig (common practice, no source).
constexpr bool is_hard(Skill skill) {
    return skill == Skill::serve || skill == Skill::attack || skill == Skill::block;
}

// Share of hard ones among the contacts on which the ear learnt to tell them.
inline constexpr double hard_share = 0.45;

struct FlightTimes {
    double least_s = 0, most_s = 0;
};

inline constexpr double longest_flight_s = 1.428; // a ball that flies 2.5 m up

// From one contact of a rally to the next; nothing where the game has no such pair. Serve to pass: 13 m at
// 13.2 to 27 m/s. A ball that is passed or set flies 1 to 2.5 m up; a quick set is hit after 0.56 s. Attack to
// dig: 6 m at 13.2 to 27 m/s; to block: 0.5 to 1 m. Speeds: Alexander & Honish, "The volleyball jump serve"
// (University of Manitoba), quoting Tant 1993 and Coleman 1993; the quick set: "Defensive reaction time in
// under-16 female volleyball players". After a block the ball goes anywhere (common practice, no source).
std::optional<FlightTimes> flight_times(Skill from, Skill to);

// How far a time lies from the middle of the range on a scale of ratios, a gap being more or less by a factor;
// +-1 at the ends of the range.
double flight_deviation(double gap_s, const FlightTimes& range);

// Density per second of a normal distribution on that scale with its deviations at the ends of the range.
double flight_density(double gap_s, const FlightTimes& range);

} // namespace downball
