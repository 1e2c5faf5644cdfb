// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/beats/beat_finder.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace downball::test {

inline Result<BeatGrid> find_beats(const std::vector<std::vector<float>>& channels, int rate_hz,
                                   std::size_t block = 4096) {
    beats::BeatFinder finder(rate_hz, static_cast<int>(channels.size()));
    const std::size_t n = channels.front().size();
    for (std::size_t at = 0; at < n; at += block) {
        std::vector<const float*> from;
        for (const auto& c : channels)
            from.push_back(c.data() + at);
        if (auto pushed = finder.push({from, std::min(block, n - at)}); !pushed) return pushed.error();
    }
    return finder.finish();
}

// Distances of the beats found from the true ones, over the true beats in [from_s, to_s).
struct Misses {
    double worst_s = 0;  // over matched beats
    double median_s = 0; // signed
    int lost = 0;        // true beats without one within 70 ms
    int made_up = 0;     // beats found there, further than 70 ms from any true one
};

inline Misses compare(const std::vector<double>& truth, const std::vector<double>& found, double from_s = 0,
                      double to_s = 1e9) {
    const auto nearest = [](const std::vector<double>& in, double t) {
        double best = 1e9;
        for (double x : in)
            if (std::abs(x - t) < std::abs(best)) best = x - t;
        return best;
    };
    Misses out;
    std::vector<double> off;
    for (double t : truth) {
        if (t < from_s || t >= to_s) continue;
        const double d = nearest(found, t);
        if (std::abs(d) > 0.07) {
            ++out.lost;
            continue;
        }
        off.push_back(d);
        out.worst_s = std::max(out.worst_s, std::abs(d));
    }
    for (double t : found)
        if (t >= from_s && t < to_s && std::abs(nearest(truth, t)) > 0.07) ++out.made_up;
    std::sort(off.begin(), off.end());
    if (!off.empty()) out.median_s = off[off.size() / 2];
    return out;
}

inline std::vector<double> seconds(const BeatGrid& grid, bool downbeats_only = false) {
    std::vector<double> out;
    for (const Beat& b : grid.beats)
        if (!downbeats_only || b.position == 1) out.push_back(b.seconds);
    return out;
}

} // namespace downball::test
