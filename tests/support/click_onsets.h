// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/onset_strength.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace downball::test {

// Instants from `first_s` on, each gap as `period_of` the instant before it says.
template <class Period>
std::vector<double> clicks(double first_s, double end_s, Period period_of) {
    std::vector<double> out;
    for (double t = first_s; t < end_s; t += period_of(t))
        out.push_back(t);
    return out;
}

// Onset strength that is 4 on the frames of the clicks, a little beside them, and elsewhere as far under 0 as makes
// the mean 0, which is how levelled flux looks.
inline beats::OnsetStrength click_onsets(const std::vector<double>& at_s, double length_s = 0) {
    beats::OnsetStrength out;
    out.frame_s = 128 / 22050.0; // as of a song at 44.1 kHz
    if (length_s <= 0) length_s = at_s.back() + 0.3;
    const auto n = static_cast<std::size_t>(length_s / out.frame_s);
    out.all.assign(n, 0.0f);
    for (const double t : at_s) {
        const auto k = static_cast<std::size_t>(std::lround(t / out.frame_s));
        if (k >= n) continue;
        out.all[k] = 4;
        for (const std::size_t j : {k - 1, k + 1})
            if (j < n) out.all[j] = std::max(out.all[j], 1.0f);
    }
    for (auto& in : out.in)
        in = out.all;
    double sum = 0;
    for (const float x : out.all)
        sum += static_cast<double>(x);
    const auto mean = static_cast<float>(sum / static_cast<double>(n));
    for (float& x : out.all)
        x -= mean;
    out.harmony.assign(n, 0.0f);
    out.loudness_db.assign(n, -20.0f);
    out.bass_db.assign(n, -30.0f);
    out.last = n;
    return out;
}

} // namespace downball::test
