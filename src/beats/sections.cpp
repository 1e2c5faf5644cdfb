// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/sections.h"

#include "beats/novelty.h"

#include <algorithm>
#include <cmath>

namespace downball::beats {

namespace {

constexpr std::size_t shortest = 4; // bars
constexpr double least = 0.4;       // novelty of a border

// What a border this many bars after the last one costs beyond `least`: sections are built of fours.
double oddness(std::size_t bars) {
    if (bars % 8 == 0) return 0;
    if (bars % 4 == 0) return bars < 8 ? 0.35 : 0.2;
    return bars % 2 == 0 ? 0.5 : 0.65;
}

// Mostly what the nearest four bars say: eight may reach over a short section.
double around(const BarContent& bars, std::size_t at) {
    const auto within = [&](std::size_t reach) {
        return novelty(bars, at > reach ? at - reach : 0, at, at + reach);
    };
    return 0.65 * within(4) + 0.35 * within(8);
}

// The set of borders with the most novelty above its cost, by dynamic programming from left to right.
std::vector<std::size_t> best_borders(const BarContent& bars) {
    const std::size_t n = bars.bars();
    std::vector<double> score(n, 0.0);
    std::vector<std::size_t> before(n, 0);
    std::size_t last = 0;
    for (std::size_t at = shortest; at + shortest <= n; ++at) {
        score[at] = -1e9;
        const double gain = around(bars, at) - least;
        for (std::size_t from = 0; from + shortest <= at; ++from) {
            if (from > 0 && from < shortest) continue;
            const double sum = score[from] + gain - oddness(at - from);
            if (sum > score[at]) {
                score[at] = sum;
                before[at] = from;
            }
        }
        if (score[at] > score[last]) last = at;
    }
    std::vector<std::size_t> out{n};
    for (; last > 0; last = before[last])
        out.push_back(last);
    out.push_back(0);
    std::reverse(out.begin(), out.end());
    return out;
}

} // namespace

std::vector<Border> section_borders(const BarContent& bars) {
    std::vector<std::size_t> at = best_borders(bars);
    // Each border once more, now between the very sections it parts; the weakest goes, until all are strong.
    for (;;) {
        double weakest = least;
        std::size_t gone = 0;
        for (std::size_t i = 1; i + 1 < at.size(); ++i) {
            const double now = novelty(bars, at[i - 1], at[i], at[i + 1]);
            if (now < weakest) {
                weakest = now;
                gone = i;
            }
        }
        if (gone == 0) break;
        at.erase(at.begin() + static_cast<std::ptrdiff_t>(gone));
    }
    std::vector<Border> out{{0, 1}};
    for (std::size_t i = 1; i + 1 < at.size(); ++i)
        out.push_back({at[i], 1 - std::exp(-novelty(bars, at[i - 1], at[i], at[i + 1]) / 1.5)});
    return out;
}

} // namespace downball::beats
