// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/placement.h"

#include "downball/dsp/lanes.h"

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

constexpr std::size_t most = static_cast<std::size_t>(back + ahead);

// What lies around an event: energies summed from the start, band by band, and how many independent values a fine
// frame holds of each.
struct Around {
    std::array<std::array<double, most + 1>, dsp::band_count> sum{};
    std::array<double, dsp::band_count> values{};
    std::size_t count = 0; // fine frames

    double cost(std::size_t peak, std::size_t split) const;
    std::array<float, most + dsp::lane_count> least_costs(std::size_t peak) const;
    std::size_t peak_near(std::size_t middle) const;
};

double Around::cost(std::size_t peak, std::size_t split) const {
    const auto quiet = static_cast<double>(split);
    const auto active = static_cast<double>(peak - split);
    double out = 0;
    for (std::size_t b = 1; b < dsp::band_count; ++b) {
        const double all = sum[b][peak];
        if (!(all > 0)) continue;
        const double before = (sum[b][split] + quiet_floor * all) / quiet;
        const double after = (all - sum[b][split]) / active;
        const double whole = all / (quiet + active);
        // A fall is no onset: such a band has no say on this split.
        if (after > before)
            out += values[b] * (quiet * std::log(before / whole) + active * std::log(after / whole));
    }
    return out;
}

// Natural logarithm within 2e-7 of normal numbers above 0, by the series of atanh.
dsp::Lanes ln(dsp::Lanes x) {
    constexpr std::int32_t root_half = 0x3f3504f3;
    const auto bits = reinterpret_cast<dsp::LaneMasks>(x);
    // Of 0 and less nothing is asked, but the difference must not run over.
    const dsp::LaneMasks octaves = ((bits & 0x7fffffff) - root_half) >> 23;
    const auto part = reinterpret_cast<dsp::Lanes>(bits - (octaves << 23)); // sqrt(1/2) to sqrt(2)
    const dsp::Lanes s = (part - 1) / (part + 1), ss = s * s;
    const dsp::Lanes series = 2 * s * (1 + ss * (1.0f / 3 + ss * (0.2f + ss * (1.0f / 7))));
    return series + __builtin_convertvector(octaves, dsp::Lanes) * 0.693147181f;
}

// Of each split, a little less than its cost or hardly more.
std::array<float, most + dsp::lane_count> Around::least_costs(std::size_t peak) const {
    std::array<float, most + dsp::lane_count> least{};
    const auto whole = static_cast<float>(peak);
    for (std::size_t b = 1; b < dsp::band_count; ++b) {
        if (!(sum[b][peak] > 0)) continue;
        const double scale = 1 / sum[b][peak];
        for (auto k = static_cast<std::size_t>(least_before); k + 2 <= peak; k += dsp::lane_count) {
            dsp::Lanes quiet, share;
            for (std::size_t lane = 0; lane < dsp::lane_count; ++lane) {
                quiet[lane] = static_cast<float>(k + lane);
                share[lane] = static_cast<float>(sum[b][std::min(k + lane, most)] * scale);
            }
            const dsp::Lanes active = whole - quiet;
            const dsp::Lanes before = (share + static_cast<float>(quiet_floor)) * whole / quiet;
            const dsp::Lanes after = (1 - share) * whole / active;
            // Where both are nearly equal the cost is positive, and in doubt left out.
            const dsp::Lanes cost = static_cast<float>(values[b]) * (quiet * ln(before) + active * ln(after));
            dsp::store_lanes(dsp::load_lanes(least.data() + k) + dsp::masked(after > 1.0001f * before, cost),
                             least.data() + k);
        }
    }
    return least;
}

// The fine frame that ends the loudest 2 ms of the whitened envelope, from shortly before the coarse instant on.
std::size_t Around::peak_near(std::size_t middle) const {
    constexpr std::size_t smooth = 8;
    std::array<double, most> loud{};
    for (std::size_t b = 1; b < dsp::band_count; ++b)
        if (sum[b][count] > 0)
            for (std::size_t i = 0; i + smooth <= count; ++i)
                loud[i] += values[b] * (sum[b][i + smooth] - sum[b][i]) / sum[b][count];
    std::size_t peak = std::min(count, middle + smooth);
    double highest = -1;
    for (std::size_t i = middle > 16 ? middle - 16 : 0; i + smooth <= count; ++i)
        if (loud[i] > highest) {
            highest = loud[i];
            peak = i + smooth;
        }
    return peak;
}

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
    Around around;
    around.count = static_cast<std::size_t>(stop - from);
    for (std::size_t b = 1; b < dsp::band_count; ++b) {
        if (!bank.has(b)) continue;
        around.values[b] = 2 * bank.width_hz(b) * fine_s;
        double sum = 0;
        for (std::size_t i = 0; i < around.count; ++i) {
            sum += static_cast<double>(store.fine(from + static_cast<std::int64_t>(i) + lag[b])[b]);
            around.sum[b][i + 1] = sum;
        }
    }
    const auto middle = static_cast<std::size_t>(centre - from);
    const std::size_t peak = around.peak_near(middle);
    const auto first = static_cast<std::size_t>(least_before);
    if (first + 2 > peak) return static_cast<double>(from) + static_cast<double>(middle);

    // Logarithms to the last bit are asked for only where the cost is near the lowest.
    const auto least = around.least_costs(peak);
    const auto low =
        std::min_element(least.begin() + first, least.begin() + static_cast<std::ptrdiff_t>(peak) - 1);
    const double enough = around.cost(peak, static_cast<std::size_t>(low - least.begin())) + 0.01;
    double best = 0;
    std::size_t at = middle;
    bool found = false;
    for (std::size_t k = first; k + 2 <= peak; ++k) {
        if (static_cast<double>(least[k]) > enough) continue;
        const double cost = around.cost(peak, k);
        if (!found || cost < best) {
            best = cost;
            at = k;
            found = true;
        }
    }
    return static_cast<double>(from) + static_cast<double>(at);
}

} // namespace downball::impacts
