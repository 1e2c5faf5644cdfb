// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/rigid_grid.h"

#include <algorithm>
#include <cmath>

namespace downball::beats {

namespace {

struct Comb {
    double offset = 0, period = 0; // in cells of the curve searched
    double sum = -1e30;
};

// Folds the curve by every period from `low` to `high`, so finely that the last tooth moves by one cell from
// one period to the next.
Comb search(const std::vector<float>& x, double low, double high) {
    Comb best;
    const auto n = static_cast<double>(x.size());
    std::vector<float> fold;
    for (double period = low; period <= high; period += period / n) {
        const auto bins = static_cast<std::size_t>(period) + 1;
        fold.assign(bins + 1, 0.0f);
        for (double start = 0; start + period < n; start += period) {
            const auto from = static_cast<std::size_t>(start + 0.5);
            const std::size_t count = std::min(bins, x.size() - from);
            for (std::size_t i = 0; i < count; ++i)
                fold[i] += x[from + i];
        }
        // Three neighbours, so that a played song's spread counts.
        for (std::size_t i = 0; i < bins; ++i) {
            const float left = fold[i > 0 ? i - 1 : bins - 1], right = fold[i + 1 < bins ? i + 1 : 0];
            const double sum = static_cast<double>(fold[i] + 0.5f * (left + right)) * period;
            if (sum > best.sum) best = {static_cast<double>(i), period, sum};
        }
    }
    return best;
}

} // namespace

std::vector<double> rigid_grid(const OnsetStrength& onsets, double period_s) {
    constexpr double range = 1.015;
    // The search takes time as the square of the length: 2 s for a quarter of an hour.
    constexpr double longest_s = 900;
    std::vector<double> out;
    const double wanted = period_s / onsets.frame_s;
    if (static_cast<double>(onsets.last - onsets.first) * onsets.frame_s > longest_s) return out;
    if (onsets.last < onsets.first + static_cast<std::size_t>(8 * wanted)) return out;
    std::vector<float> x(onsets.last - onsets.first);
    for (std::size_t i = 0; i < x.size(); ++i)
        x[i] = std::min(4.0f, onsets.all[i + onsets.first]);
    std::vector<float> coarse(x.size() / 2);
    for (std::size_t i = 0; i < coarse.size(); ++i)
        coarse[i] = x[2 * i] + x[2 * i + 1];

    const Comb near = search(coarse, 0.5 * wanted / range, 0.5 * wanted * range);
    const double step = 4 * near.period / static_cast<double>(coarse.size());
    const Comb comb = search(x, 2 * (near.period - step), 2 * (near.period + step));
    const auto n = static_cast<double>(x.size());
    double at = comb.offset;
    while (at - comb.period > -0.3 * comb.period && at - comb.period > -5)
        at -= comb.period;
    for (; at < n; at += comb.period)
        out.push_back(std::max(0.0, at + static_cast<double>(onsets.first)));
    return out;
}

} // namespace downball::beats
