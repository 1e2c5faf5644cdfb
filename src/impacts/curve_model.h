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
// `high`, flat outside. There are two, for sounds that hardly rise above the noise and for those that rise
// far above it, since what a feature is worth depends on how well it can be measured.
struct Curve {
    Feature feature;
    float low, high;
    std::array<float, knot_count> faint, clear;
};

// Where a feature's value lies among a curve's knots: `share` of the way from knot `index` to the next.
struct Between {
    std::size_t index;
    float share;
};
Between between_knots(const Curve& curve, float value);

// 0 = take the curves for faint sounds, 1 = those for clear ones: by the mean rise of 210-3400 Hz.
float clearness(const FeatureVector& features);

struct CurveModel {
    float bias = 0;
    std::span<const Curve> curves;
};

double log_odds(const CurveModel& model, const FeatureVector& features);
double log_odds(const CurveModel& model, const FeatureVector& features, float clear);
double probability(double log_odds);

// What a candidate is judged by, one after the other: its own sound and its context; these and its kin; what
// its rally makes of that. Beside it, of what is a contact, how likely it is a hard one.
struct Models {
    CurveModel first, second, rally, hard;
};

// The fitted ones.
const Models& fitted_models();

} // namespace downball::impacts
