// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/dsp/band_bank.h"

#include "downball/dsp/biquad.h"

#include <cmath>
#include <numbers>

namespace downball::dsp {

BandBank::BandBank(double rate_hz, const BandPlan& plan) {
    for (std::size_t b = 0; b < band_count; ++b) {
        const double centre = plan.centre_hz[b];
        has_[b] = centre < plan.highest_share * rate_hz;
        width_hz_[b] = 0.64 * centre / plan.q;
        // Two band-passes, each 2 Q / omega at its centre.
        delay_s_[b] = 2 * 2 * plan.q / (2 * std::numbers::pi * centre);
        if (!has_[b]) continue;
        const BiquadCoefficients c = band_pass(centre, plan.q, rate_hz);
        for (Stage& stage : stages_) {
            stage.b0[b] = static_cast<float>(c.b0);
            stage.a1[b] = static_cast<float>(c.a1);
            stage.a2[b] = static_cast<float>(c.a2);
        }
    }
}

Bands BandBank::energy(std::span<const float> samples) {
    // Lanes are bands, so that the compiler keeps all states in vector registers.
    Stage first = stages_[0];
    Stage second = stages_[1];
    alignas(32) Bands sum{};
    for (const float x : samples) {
        for (std::size_t b = 0; b < band_count; ++b) {
            // Transposed direct form II; a band-pass has b1 = 0 and b2 = -b0.
            const float in = first.b0[b] * x;
            const float mid = in + first.s1[b];
            first.s1[b] = first.s2[b] - first.a1[b] * mid;
            first.s2[b] = -in - first.a2[b] * mid;
            const float in2 = second.b0[b] * mid;
            const float out = in2 + second.s1[b];
            second.s1[b] = second.s2[b] - second.a1[b] * out;
            second.s2[b] = -in2 - second.a2[b] * out;
            sum[b] += out * out;
        }
    }
    // A tail that decays for ever would end in subnormal numbers, which are slow.
    constexpr float nothing = 1e-18f;
    for (Stage* stage : {&first, &second}) {
        for (std::size_t b = 0; b < band_count; ++b) {
            if (std::abs(stage->s1[b]) < nothing) stage->s1[b] = 0;
            if (std::abs(stage->s2[b]) < nothing) stage->s2[b] = 0;
        }
    }
    stages_[0] = first;
    stages_[1] = second;
    return sum;
}

} // namespace downball::dsp
