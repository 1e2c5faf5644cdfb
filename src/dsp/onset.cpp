// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/dsp/onset.h"

#include <algorithm>
#include <cmath>

namespace downball::dsp {

// The linear taper makes a click shorter than `after` rise most at the click itself, not anywhere in the
// `after` cells that lead up to it.
RiseCurve::RiseCurve(std::span<const float> energy, std::size_t after, std::size_t before, double floor)
    : rise_(energy.size(), 0.0f) {
    std::vector<double> sums(energy.size() + 1, 0.0), ramps(energy.size() + 1, 0.0);
    for (std::size_t i = 0; i < energy.size(); ++i) {
        sums[i + 1] = sums[i] + static_cast<double>(energy[i]);
        ramps[i + 1] = ramps[i] + static_cast<double>(energy[i]) * static_cast<double>(i);
    }
    const double level = std::max(floor, 1e-20);
    const auto reach = static_cast<double>(after);
    for (std::size_t j = 0; j < energy.size(); ++j) {
        const std::size_t end = std::min(j + after, energy.size()), start = j > before ? j - before : 0;
        const double plain = sums[end] - sums[j], ramp = ramps[end] - ramps[j];
        const double next = (plain * (reach + static_cast<double>(j)) - ramp) / (0.5 * reach * (reach + 1));
        const double last = (sums[j] - sums[start]) / static_cast<double>(before);
        const double ratio = std::log((std::max(0.0, next) + level) / (std::max(0.0, last) + level));
        rise_[j] = static_cast<float>(std::max(0.0, ratio));
    }
}

} // namespace downball::dsp
