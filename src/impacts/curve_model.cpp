// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/curve_model.h"

#include <algorithm>
#include <cmath>

namespace downball::impacts {

Between between_knots(const Curve& curve, float value) {
    constexpr auto last = static_cast<float>(knot_count - 1);
    const float place = std::clamp((value - curve.low) / (curve.high - curve.low), 0.0f, 1.0f) * last;
    const auto index = std::min(static_cast<std::size_t>(place), knot_count - 2);
    return {index, place - static_cast<float>(index)};
}

double log_odds(const CurveModel& model, const FeatureVector& features) {
    return log_odds(model, features, clearness(features));
}

double log_odds(const CurveModel& model, const FeatureVector& features, float clear) {
    double sum = static_cast<double>(model.bias);
    for (const Curve& curve : model.curves) {
        const Between b = between_knots(curve, features[curve.feature]);
        const auto value = [&b](const std::array<float, knot_count>& at) {
            return at[b.index] + b.share * (at[b.index + 1] - at[b.index]);
        };
        sum += static_cast<double>((1 - clear) * value(curve.faint) + clear * value(curve.clear));
    }
    return sum;
}

float clearness(const FeatureVector& features) {
    constexpr float none = 0.8f, full = 3.2f;
    float rise = 0;
    for (const Feature f :
         {Feature::rise_210, Feature::rise_420, Feature::rise_850, Feature::rise_1700, Feature::rise_3400})
        rise += features[f] / 5;
    return std::clamp((rise - none) / (full - none), 0.0f, 1.0f);
}

double probability(double log_odds) {
    return 1 / (1 + std::exp(-log_odds));
}

std::string_view name_of(Feature feature) {
    static constexpr std::array<std::string_view, feature_count> names{
        "rise_rumble", "rise_115",  "rise_210",   "rise_420",   "rise_850",    "rise_1700", "rise_3400",
        "rise_7500",   "attack",    "slap_20",    "slap_60",    "slap_200",    "body_40",   "body_90",
        "body_200",    "balance",   "rumble",     "low_colour", "slap_colour", "share_115", "share_210",
        "share_420",   "share_850", "share_1700", "share_3400", "share_7500",  "tone",      "ring",
        "before",      "density",   "comb",       "echo",       "after",       "repeat",    "rank",
        "first",       "kin_most",  "kin_sum",    "kin_sure",   "kin_level",   "second",    "rally"};
    return names[static_cast<std::size_t>(feature)];
}

} // namespace downball::impacts
