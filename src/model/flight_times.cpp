// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/model/flight_times.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace downball {
namespace {

constexpr double shortest_s = 1e-4;

double half_width(const FlightTimes& range) {
    return (std::log(range.most_s) - std::log(range.least_s)) / 2;
}

} // namespace

std::optional<FlightTimes> flight_times(Skill from, Skill to) {
    const bool received = to == Skill::pass || to == Skill::dig;
    switch (from) {
    case Skill::serve:
        if (received) return FlightTimes{0.481, 0.985};
        break;
    case Skill::pass:
    case Skill::dig:
        if (to == Skill::set) return FlightTimes{0.903, longest_flight_s};
        break;
    case Skill::set:
        if (to == Skill::attack) return FlightTimes{0.56, longest_flight_s};
        break;
    case Skill::attack:
        if (received) return FlightTimes{0.222, 0.455};
        if (to == Skill::block) return FlightTimes{0.019, 0.076};
        break;
    case Skill::block:
        if (received || to == Skill::set) return FlightTimes{0.15, longest_flight_s};
        break;
    }
    return std::nullopt;
}

double flight_deviation(double gap_s, const FlightTimes& range) {
    const double middle = (std::log(range.least_s) + std::log(range.most_s)) / 2;
    return (std::log(std::max(gap_s, shortest_s)) - middle) / half_width(range);
}

double flight_density(double gap_s, const FlightTimes& range) {
    const double z = flight_deviation(gap_s, range);
    return std::exp(-z * z / 2) /
           (std::max(gap_s, shortest_s) * half_width(range) * std::sqrt(2 * std::numbers::pi));
}

} // namespace downball
