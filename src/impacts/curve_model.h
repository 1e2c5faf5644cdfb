// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "impacts/feature.h"

#include <array>
#include <cstddef>
#include <span>

namespace downball::impacts {

inline constexpr std::size_t knot_count = 5;

// What one feature adds to the log-odds: a line through values at equally spaced knots from `low` to
// `high`, flat outside.
struct Curve {
    Feature feature;
    float low, high;
    std::array<float, knot_count> at_knots;
};

// Where a feature's value lies among a curve's knots: `share` of the way from knot `index` to the next.
struct Between {
    std::size_t index;
    float share;
};
Between between_knots(const Curve& curve, float value);

struct CurveModel {
    float bias = 0;
    std::span<const Curve> curves;
};

double log_odds(const CurveModel& model, const FeatureVector& features);
double probability(double log_odds);

// The fitted model of the tool.
const CurveModel& fitted_model();

} // namespace downball::impacts
