// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/placement.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace downball::impacts {
namespace {

constexpr std::int64_t back = 120;       // fine frames searched before the coarse instant
constexpr std::int64_t ahead = 48;       // and after it, for the peak
constexpr std::int64_t least_before = 8; // fine frames that must lie before the split
constexpr double quiet_floor = 2e-3; // of the sound: far below it, only the foot of a filter's rise is seen
constexpr double lag_share = 0.5;    // a rise is seen after about half of a band's group delay

} // namespace

double place_onset(const FrameStore& store, const dsp::BandBank& bank, double fine_s, std::int64_t frame) {
    const std::int64_t centre = frame * fine_per_frame;
    const std::int64_t newest = store.frames() * fine_per_frame;
    std::array<std::int64_t, dsp::band_count> lag{};
    std::int64_t longest = 0;
    for (std::size_t b = 1; b < dsp::band_count; ++b) {
        lag[b] = std::lround(lag_share * bank.delay_s(b) / fine_s);
        longest = std::max(longest, lag[b]);
    }
    const std::int64_t from = std::max(store.oldest() * fine_per_frame, centre - back);
    const std::int64_t stop = std::min(newest - longest, centre + ahead);
    const auto count = static_cast<std::size_t>(stop - from);

    // Sums from the start, one column a band; `loud` is the whitened envelope, smoothed over 2 ms.
    std::array<std::array<double, static_cast<std::size_t>(back + ahead) + 1>, dsp::band_count> sum{};
    std::array<double, dsp::band_count> values{};
    for (std::size_t b = 1; b < dsp::band_count; ++b) {
        if (!bank.has(b)) continue;
        values[b] = 2 * bank.width_hz(b) * fine_s;
        for (std::size_t i = 0; i < count; ++i)
            sum[b][i + 1] =
                sum[b][i] + static_cast<double>(store.fine(from + static_cast<std::int64_t>(i) + lag[b])[b]);
    }
    constexpr std::size_t smooth = 8;
    const auto middle = static_cast<std::size_t>(centre - from);
    std::size_t peak = std::min(count, middle + smooth);
    double highest = -1;
    for (std::size_t i = middle > 16 ? middle - 16 : 0; i + smooth <= count; ++i) {
        double loud = 0;
        for (std::size_t b = 1; b < dsp::band_count; ++b)
            if (sum[b][count] > 0) loud += values[b] * (sum[b][i + smooth] - sum[b][i]) / sum[b][count];
        if (loud > highest) {
            highest = loud;
            peak = i + smooth;
        }
    }

    double best = 0;
    std::size_t at = middle;
    bool found = false;
    for (std::size_t k = static_cast<std::size_t>(least_before); k + 2 <= peak; ++k) {
        const auto quiet = static_cast<double>(k);
        const auto active = static_cast<double>(peak - k);
        double cost = 0;
        for (std::size_t b = 1; b < dsp::band_count; ++b) {
            const double all = sum[b][peak];
            if (!(all > 0)) continue;
            const double before = (sum[b][k] + quiet_floor * all) / quiet;
            const double after = (all - sum[b][k]) / active;
            const double whole = all / (quiet + active);
            // A fall is no onset: such a band has no say on this split.
            if (after > before)
                cost += values[b] * (quiet * std::log(before / whole) + active * std::log(after / whole));
        }
        if (!found || cost < best) {
            best = cost;
            at = k;
            found = true;
        }
    }
    return static_cast<double>(from) + static_cast<double>(at);
}

} // namespace downball::impacts
