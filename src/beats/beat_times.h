// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

// Of instants of beats in order, be they seconds or frames.
namespace downball::beats {

// The median distance from one to the next; 0 of fewer than two.
inline double median_gap(const std::vector<double>& beats) {
    std::vector<double> gaps;
    for (std::size_t i = 1; i < beats.size(); ++i)
        gaps.push_back(beats[i] - beats[i - 1]);
    if (gaps.empty()) return 0;
    const auto middle = gaps.begin() + static_cast<std::ptrdiff_t>(gaps.size() / 2);
    std::nth_element(gaps.begin(), middle, gaps.end());
    return *middle;
}

// The index of the one nearest to an instant; of one or more.
inline std::size_t nearest_beat(const std::vector<double>& beats, double at) {
    const auto after =
        static_cast<std::size_t>(std::lower_bound(beats.begin(), beats.end(), at) - beats.begin());
    if (after == 0) return 0;
    if (after == beats.size()) return beats.size() - 1;
    return at - beats[after - 1] < beats[after] - at ? after - 1 : after;
}

} // namespace downball::beats
