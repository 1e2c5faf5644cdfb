// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "impacts/feature.h"

#include <algorithm>
#include <cmath>

namespace downball::impacts {

// 1 = alike, falling with the mean difference of two sets of logarithms, bands 1 to `bands` - 1.
inline float likeness(const dsp::Bands& a, const dsp::Bands& b, float scale, std::size_t bands) {
    float apart = 0;
    for (std::size_t i = 1; i < bands; ++i)
        apart += std::abs(a[i] - b[i]);
    return std::exp(-apart / (scale * static_cast<float>(bands - 1)));
}

// ln of the ratio of levels, within +-8.
inline float level_ratio_ln(const Candidate& a, const Candidate& b) {
    if (!(b.level > 0)) return a.level > 0 ? 8.0f : 0.0f;
    return std::log(std::clamp(a.level / b.level, 3e-4f, 3e3f));
}

} // namespace downball::impacts
