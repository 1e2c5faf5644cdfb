// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/novelty.h"

#include <algorithm>
#include <cmath>

namespace downball::beats {

namespace {

constexpr std::size_t side = 8; // two of them stay within BarContent::reach

struct Pairs {
    double sum = 0;
    std::size_t count = 0;
    double mean() const { return count > 0 ? sum / static_cast<double>(count) : 0; }
};

// Pairs of different bars. A bar is not compared with itself: that would make bars of pure chance look more alike
// within than across.
Pairs within(const BarContent& bars, std::size_t from, std::size_t to) {
    Pairs out;
    for (std::size_t a = from; a < to; ++a)
        for (std::size_t b = a + 1; b < to; ++b, ++out.count)
            out.sum += bars.distance(a, b) * bars.distance(a, b);
    return out;
}

} // namespace

double novelty(const BarContent& bars, std::size_t from, std::size_t at, std::size_t to) {
    from = std::max(from, at > side ? at - side : 0);
    to = std::min({to, at + side, bars.bars()});
    if (from >= at || at >= to) return 0;
    Pairs across;
    for (std::size_t a = from; a < at; ++a)
        for (std::size_t b = at; b < to; ++b, ++across.count)
            across.sum += bars.distance(a, b) * bars.distance(a, b);
    const Pairs before = within(bars, from, at), after = within(bars, at, to);
    const double inside = before.count > 0 && after.count > 0 ? (before.mean() + after.mean()) / 2
                                                              : std::max(before.mean(), after.mean());
    const double shift = std::sqrt(std::max(0.0, across.mean() - inside));
    // What two bars of the same music differ by anyway: a fill, a voice.
    constexpr double usual = 0.15;
    return shift / (0.5 * std::sqrt(inside) + usual);
}

} // namespace downball::beats
