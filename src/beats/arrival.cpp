// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/arrival.h"

#include "beats/mean.h"

#include <algorithm>
#include <cmath>

namespace downball::beats {

namespace {

constexpr std::size_t stays = 4; // bars

} // namespace

std::optional<Arrival> find_arrival(const BarContent& bars, const std::vector<double>& energy,
                                    const std::vector<double>& low_end) {
    std::vector<double> level; // of each bar: two parts loudness, one part low end
    for (std::size_t b = 0; b < bars.bars(); ++b)
        level.push_back((2 * mean(energy, bars.first[b], bars.first[b + 1]) +
                         mean(low_end, bars.first[b], bars.first[b + 1])) /
                        3);
    std::vector<double> rise(level.size(), 0.0);
    for (std::size_t b = stays; b + stays <= level.size(); ++b) {
        const auto after = level.begin() + static_cast<std::ptrdiff_t>(b);
        // The least of the bars after, so that one loud bar is none.
        const double held = 0.5 * (mean(level, b, b + stays) + *std::min_element(after, after + stays));
        const double from_calm = held - mean(level, b - stays, b), from_gap = held - level[b - 1];
        rise[b] = (0.75 * from_calm + 0.25 * std::max(from_calm, from_gap)) * (0.4 + 0.6 * held);
    }
    std::size_t bar = 0; // the strongest; the first of equals
    for (std::size_t b = 1; b < rise.size(); ++b)
        if (rise[b] > rise[bar]) bar = b;
    const double top = rise[bar];
    constexpr double least = 0.12;
    if (top < least) return std::nullopt;
    double rival = 0; // elsewhere: bars next to it share its rise
    for (std::size_t b = 0; b < rise.size(); ++b)
        if (b + stays < bar || b > bar + stays) rival = std::max(rival, rise[b]);
    return Arrival{bars.first[bar], (1 - std::exp(-(top - least / 2) / 0.35)) * (1 - 0.3 * rival / top)};
}

} // namespace downball::beats
