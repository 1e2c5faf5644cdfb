// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/frame_rate.h"

#include <algorithm>
#include <cmath>

namespace downball::media {

std::optional<Rate> stated_rate(std::int64_t num, std::int64_t den) {
    if (num <= 0 || den <= 0) return std::nullopt;
    const auto number = static_cast<double>(num) / static_cast<double>(den);
    if (number > 1000 || number < 1e-3) return std::nullopt;
    const auto snapped = snap_rate(number);
    // snap_rate keeps an unusual number to a millionth only; the container's own fraction is exact.
    return snapped.value().den() > 1001 ? Rate(num, den) : snapped;
}

double mean_rate(std::span<const std::int64_t> ticks, Fraction tick_s) {
    if (ticks.size() < 2 || ticks.back() <= ticks.front()) return 0;
    const auto span_s = static_cast<double>(ticks.back() - ticks.front()) * tick_s.to_double();
    return static_cast<double>(ticks.size() - 1) / span_s;
}

double off_rate_ticks(std::span<const std::int64_t> ticks, Fraction tick_s, Rate rate) {
    const auto frame_ticks = 1 / (rate.per_second() * tick_s.to_double());
    double off = 0;
    for (std::size_t k = 0; k < ticks.size(); ++k)
        off = std::max(off, std::abs(static_cast<double>(ticks[k] - ticks.front()) -
                                     static_cast<double>(k) * frame_ticks));
    return off;
}

std::optional<Rate> constant_rate(std::span<const std::int64_t> ticks, Fraction tick_s,
                                  std::span<const Rate> stated) {
    std::vector<Rate> candidates(stated.begin(), stated.end());
    if (const auto mean = mean_rate(ticks, tick_s); mean > 1e-3 && mean <= 1000)
        candidates.push_back(snap_rate(mean));
    if (ticks.size() < 2) return candidates.empty() ? std::nullopt : std::optional(candidates.front());

    std::optional<Rate> best;
    double best_off = 0; // in ticks
    for (const auto rate : candidates) {
        const auto frame_ticks = 1 / (rate.per_second() * tick_s.to_double());
        const auto off = off_rate_ticks(ticks, tick_s, rate);
        if (off > std::max(1.5, 0.05 * frame_ticks) || (best && off > best_off - 0.5)) continue;
        best = rate;
        best_off = off;
    }
    return best;
}

} // namespace downball::media
