// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/onset_clock.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

namespace downball::beats {

OnsetClock::OnsetClock(const SongFeatures& song) : cell_s_(song.fine_s) {
    rise_.assign(song.fine[SongFeatures::fine_all].size(), 0.0f);
    // 6 ms after against 10 ms before: one period of 100 Hz power, so that a held bass note does not ripple.
    const auto after = static_cast<std::size_t>(std::lround(0.006 / cell_s_));
    const auto before = static_cast<std::size_t>(std::lround(0.010 / cell_s_));
    constexpr std::array<float, SongFeatures::fine_kinds> weight{1.0f, 1.0f, 0.7f};
    for (std::size_t kind = 0; kind < SongFeatures::fine_kinds; ++kind) {
        const auto& energy = song.fine[kind];
        if (energy.empty()) continue;
        const double mean =
            std::accumulate(energy.begin(), energy.end(), 0.0) / static_cast<double>(energy.size());
        const dsp::RiseCurve rise(energy, after, before, 0.003 * mean); // 25 dB under the song's mean
        for (std::size_t i = 0; i < rise_.size(); ++i)
            rise_[i] += weight[kind] * rise[i];
    }
}

OnsetClock::Hit OnsetClock::near(double around_s, double reach_s, double pull_s) const {
    const auto from = std::max(1L, std::lround((around_s - reach_s) / cell_s_));
    const auto to =
        std::min(static_cast<long>(rise_.size()) - 2, std::lround((around_s + reach_s) / cell_s_));
    Hit hit{around_s, 0};
    double best = 0;
    long found = -1;
    for (long j = from; j <= to; ++j) {
        const double off = (static_cast<double>(j) * cell_s_ - around_s) / pull_s;
        const double value =
            static_cast<double>(rise_[static_cast<std::size_t>(j)]) * std::exp(-0.5 * off * off);
        if (value > best) {
            best = value;
            found = j;
        }
    }
    if (found < 0) return hit;
    const auto at = [&](long j) { return static_cast<double>(rise_[static_cast<std::size_t>(j)]); };
    const double left = at(found - 1), top = at(found), right = at(found + 1);
    const double bend = left - 2 * top + right;
    const double part = bend < 0 ? std::clamp(0.5 * (left - right) / bend, -0.5, 0.5) : 0.0;
    // It begins somewhere inside the first cell that rises: half a cell in, on average.
    return {(static_cast<double>(found) + part + 0.5) * cell_s_, top};
}

} // namespace downball::beats
