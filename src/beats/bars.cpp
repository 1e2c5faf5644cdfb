// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/bars.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace downball::beats {

namespace {

// Mean 0, spread 1, clipped at 3: no single crash decides the song.
std::vector<double> standardised(std::vector<double> x) {
    double sum = 0, squares = 0;
    for (double v : x) {
        sum += v;
        squares += v * v;
    }
    const auto n = static_cast<double>(x.size());
    const double mean = sum / n, variance = squares / n - mean * mean;
    const double spread = variance > 1e-9 ? std::sqrt(variance) : 0;
    for (double& v : x)
        v = spread > 0 ? std::clamp((v - mean) / spread, -3.0, 3.0) : 0;
    return x;
}

// The step in loudness and bass from the four beats before to the four beats from here on, upwards and
// downwards: parts begin on downbeats.
std::vector<double> steps(const BeatContent& c) {
    const std::size_t n = c.low.size();
    std::vector<double> out(n, 0.0);
    for (std::size_t i = 4; i + 4 <= n; ++i) {
        double loud = 0, bass = 0;
        for (std::size_t j = 0; j < 4; ++j) {
            loud += c.loudness_db[i + j] - c.loudness_db[i - 1 - j];
            bass += c.bass_db[i + j] - c.bass_db[i - 1 - j];
        }
        out[i] = std::abs(loud) + 0.5 * std::abs(bass);
    }
    return out;
}

// How well a beat serves as the first of a bar, and how well as a back-beat.
struct Roles {
    std::vector<double> first, back;
};

Roles roles(const BeatContent& c) {
    const auto low = standardised(c.low), mid = standardised(c.mid), presence = standardised(c.presence);
    const auto high = standardised(c.high), harmony = standardised(c.harmony), step = standardised(steps(c));
    Roles out;
    for (std::size_t i = 0; i < low.size(); ++i) {
        const double snare = 0.6 * presence[i] + 0.4 * mid[i];
        out.first.push_back(0.6 * low[i] + 1.0 * harmony[i] + 0.5 * step[i] + 0.2 * high[i] - 0.3 * snare);
        out.back.push_back(snare - 0.4 * low[i] - 0.3 * harmony[i]);
    }
    return out;
}

// What beat i says for standing at `position` (0 = first) of a bar of `metre`.
double fits(const Roles& r, std::size_t i, int position, int metre) {
    if (position == 0) return r.first[i];
    if (metre == 3) return 0.25 * r.back[i] - 0.5 * r.first[i];
    if (position == 2) return -0.1 * r.first[i]; // the third of four is a weaker first
    return 0.5 * r.back[i] - 0.45 * r.first[i];
}

// Positions along the beats; leaving the count costs as much as three bars of plain evidence, so that it
// happens only where a bar really has a beat too many or too few.
std::vector<int> count_through(const Roles& r, int metre) {
    constexpr double slip_cost = 14;
    const std::size_t n = r.first.size(), m = static_cast<std::size_t>(metre);
    std::vector<double> best(n * m);
    std::vector<int> from(n * m, 0);
    for (std::size_t i = 0; i < n; ++i)
        for (std::size_t p = 0; p < m; ++p) {
            double top = 0;
            if (i > 0) {
                top = -1e18;
                for (std::size_t q = 0; q < m; ++q) {
                    const double value = best[(i - 1) * m + q] - ((q + 1) % m == p ? 0 : slip_cost);
                    if (value > top) {
                        top = value;
                        from[i * m + p] = static_cast<int>(q);
                    }
                }
            }
            best[i * m + p] = top + fits(r, i, static_cast<int>(p), metre);
        }
    std::vector<int> out(n);
    auto last =
        static_cast<std::size_t>(std::max_element(best.end() - static_cast<std::ptrdiff_t>(m), best.end()) -
                                 (best.end() - static_cast<std::ptrdiff_t>(m)));
    for (std::size_t i = n; i-- > 0;) {
        out[i] = static_cast<int>(last) + 1;
        last = static_cast<std::size_t>(from[i * m + last]);
    }
    return out;
}

} // namespace

Bars find_bars(const BeatContent& content, double three, double four) {
    Bars out;
    const std::size_t n = content.low.size();
    if (n < 8) return out;
    out.beats_per_bar = three > four + 0.05 ? 3 : 4;
    const Roles r = roles(content);
    out.position = count_through(r, out.beats_per_bar);

    // The lead of the count chosen over the best one that begins elsewhere, in mean evidence a bar.
    std::array<double, 4> by_shift{};
    for (int shift = 0; shift < out.beats_per_bar; ++shift)
        for (std::size_t i = 0; i < n; ++i)
            by_shift[static_cast<std::size_t>(shift)] +=
                fits(r, i, (out.position[i] - 1 + shift) % out.beats_per_bar, out.beats_per_bar);
    const double rival = *std::max_element(by_shift.begin() + 1, by_shift.begin() + out.beats_per_bar);
    const double lead = (by_shift[0] - rival) * out.beats_per_bar / static_cast<double>(n);
    out.confidence = std::clamp(1 - std::exp(-std::max(0.0, lead) / 1.0), 0.0, 1.0);
    return out;
}

} // namespace downball::beats
