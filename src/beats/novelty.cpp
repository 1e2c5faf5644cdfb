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

// Mean square distance of each bar of [a_from, a_to) to the one of [b_from, b_to), itself aside, that is most like
// it.
double to_nearest(const BarContent& bars, std::size_t a_from, std::size_t a_to, std::size_t b_from,
                  std::size_t b_to) {
    double sum = 0;
    for (std::size_t a = a_from; a < a_to; ++a) {
        double least = 1e9;
        for (std::size_t b = b_from; b < b_to; ++b)
            if (a != b) least = std::min(least, bars.distance(a, b));
        sum += least * least;
    }
    return sum / static_cast<double>(a_to - a_from);
}

double in_units(double across, double inside) {
    // What two bars of the same music differ by anyway: a fill, a voice.
    constexpr double usual = 0.15;
    return std::sqrt(std::max(0.0, across - inside)) / (0.5 * std::sqrt(inside) + usual);
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
    const double shift = in_units(across.mean(), inside);
    if (at - from < side || to - at < side) return shift;
    // A round of four chords after another round has the same mean and the same spread. But its bars find
    // their like among themselves, and not on the other side.
    return std::max(shift,
                    in_units((to_nearest(bars, from, at, at, to) + to_nearest(bars, at, to, from, at)) / 2,
                             (to_nearest(bars, from, at, from, at) + to_nearest(bars, at, to, at, to)) / 2));
}

} // namespace downball::beats
