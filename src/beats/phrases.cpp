// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/phrases.h"

#include "beats/novelty.h"

#include <algorithm>
#include <cmath>

namespace downball::beats {

namespace {

double median(std::vector<double> x) {
    const auto middle = x.begin() + static_cast<std::ptrdiff_t>(x.size() / 2);
    std::nth_element(x.begin(), middle, x.end());
    return *middle;
}

// How unlike all of the eight bars before it bar b is: high for a fill, or a bar of silence.
double oddity(const BarContent& bars, std::size_t b) {
    double nearest = 1e9;
    for (std::size_t k = 1; k <= 8 && k <= b; ++k)
        nearest = std::min(nearest, bars.distance(b, b - k));
    return b > 0 ? nearest : 0;
}

// Signs that a phrase begins on a bar, 0..3: the music changes, a bright stroke (a crash) that the bars around
// do not have, a bar before that stands out (a fill, a stop).
std::vector<double> signs(const BarContent& bars) {
    const std::size_t n = bars.bars();
    std::vector<double> odd, out(n, 0.0);
    for (std::size_t b = 0; b < n; ++b)
        odd.push_back(oddity(bars, b));
    const double usual = median(odd);
    for (std::size_t b = 1; b < n; ++b) {
        const double change = novelty(bars, b > 4 ? b - 4 : 0, b, b + 4);
        const std::size_t from = b > 8 ? b - 8 : 0, to = std::min(n, b + 9);
        const auto at = [&](std::size_t i) { return bars.struck.begin() + static_cast<std::ptrdiff_t>(i); };
        const double stroke = bars.struck[b] - median({at(from), at(to)});
        out[b] = std::min(1.0, change) + std::clamp(2 * stroke, 0.0, 1.0) +
                 std::clamp((odd[b - 1] - 1.5 * usual - 0.05) / 0.3, 0.0, 1.0);
    }
    return out;
}

// What a phrase costs that is no whole one. One at either end of the song is usual.
double shortness(std::size_t from, std::size_t to, std::size_t whole, std::size_t all) {
    const std::size_t length = to - from;
    if (length == whole) return 0;
    return (to == all ? 0.1 : from == 0 ? 0.3 : 1.0) + (length % 4 == 0 || to == all ? 0.0 : 0.3);
}

// First bars of phrases: where the signs are, whole as far as can be, and not across a section's beginning,
// unless that is so unsure that two short phrases are too much for it.
std::vector<std::size_t> tile(const std::vector<double>& sign, const std::vector<Border>& sections,
                              std::size_t whole) {
    const std::size_t n = sign.size();
    std::vector<double> crossed(n + 1, 0.0); // up to bar b, that of beginning no phrase with its sections
    for (const Border& s : sections)
        crossed[s.bar] += s.bar > 0 ? 1.5 * s.confidence : 0;
    for (std::size_t b = 1; b <= n; ++b)
        crossed[b] += crossed[b - 1];
    std::vector<double> score(n + 1, -1e9);
    std::vector<std::size_t> before(n + 1, 0);
    score[0] = 0;
    for (std::size_t to = 1; to <= n; ++to)
        for (std::size_t from = to > whole ? to - whole : 0; from < to; ++from) {
            const double sum = score[from] - shortness(from, to, whole, n) -
                               (crossed[to - 1] - crossed[from]) + (to < n ? std::min(1.0, sign[to]) : 0);
            if (sum > score[to]) {
                score[to] = sum;
                before[to] = from;
            }
        }
    std::vector<std::size_t> out;
    for (std::size_t at = n; at > 0; at = before[at])
        out.push_back(before[at]);
    std::reverse(out.begin(), out.end());
    return out;
}

// Whether phrases of `whole` bars are one sentence each: most of the song lies in such, and their middles show
// far less than their beginnings.
bool hold_together(const std::vector<double>& sign, const std::vector<std::size_t>& firsts,
                   std::size_t whole) {
    double edges = 0, middles = 0;
    std::size_t full = 0, edge_count = 0;
    for (std::size_t p = 0; p < firsts.size(); ++p) {
        const std::size_t last = p + 1 < firsts.size() ? firsts[p + 1] : sign.size();
        if (firsts[p] > 0) {
            edges += sign[firsts[p]];
            ++edge_count;
        }
        if (last - firsts[p] != whole) continue;
        middles += sign[firsts[p] + whole / 2];
        ++full;
    }
    if (full < 2 || edge_count == 0 || 4 * full * whole < 3 * sign.size()) return false;
    const double edge = edges / static_cast<double>(edge_count), middle = middles / static_cast<double>(full);
    return edge > 0.4 && middle < 0.25 * edge;
}

// The chance that a bar which begins a phrase shows more than one which does not, made 0..1 from chance to
// always, and less where there is little to see.
double confidence_of(const std::vector<double>& sign, const std::vector<std::size_t>& firsts) {
    double wins = 0, pairs = 0, sum = 0, edges = 0;
    for (std::size_t b : firsts) {
        if (b == 0) continue;
        sum += sign[b];
        ++edges;
        for (std::size_t other = 1; other < sign.size(); ++other) {
            if (std::binary_search(firsts.begin(), firsts.end(), other)) continue;
            // A tie is one whatever the rounding.
            const double more = sign[b] - sign[other];
            wins += more > 1e-4 ? 1 : more > -1e-4 ? 0.5 : 0;
            ++pairs;
        }
    }
    if (pairs == 0) return 0;
    return std::clamp(2 * wins / pairs - 1, 0.0, 1.0) * std::min(1.0, sum / edges / 0.6);
}

} // namespace

Phrasing find_phrases(const BarContent& bars, const std::vector<Border>& sections) {
    const std::vector<double> sign = signs(bars);
    Phrasing out;
    out.first = tile(sign, sections, 8);
    for (const int whole : {16, 32}) {
        auto longer = tile(sign, sections, static_cast<std::size_t>(whole));
        if (!hold_together(sign, longer, static_cast<std::size_t>(whole))) break;
        out.bars = whole;
        out.first = std::move(longer);
    }
    out.confidence = confidence_of(sign, out.first);
    return out;
}

} // namespace downball::beats
