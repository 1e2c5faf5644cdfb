// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/dsp/band_bank.h"

#include "downball/dsp/biquad.h"
#include "downball/dsp/lanes.h"

#include <cmath>
#include <numbers>

namespace downball::dsp {
namespace {

// Lanes are bands, in two halves. Compilers left to themselves keep the states in memory, at four times the cost.
static_assert(band_count == 2 * lane_count);

// A tail that decays for ever would end in subnormal numbers, which are slow.
Lanes settled(Lanes state) {
    const Lanes least = all_lanes(1e-18f);
    return masked((state >= least) | (state <= -least), state);
}

} // namespace

BandBank::BandBank(double rate_hz, const BandPlan& plan) {
    for (std::size_t b = 0; b < band_count; ++b) {
        const double centre = plan.centre_hz[b];
        has_[b] = centre < plan.highest_share * rate_hz;
        width_hz_[b] = 0.64 * centre / plan.q;
        // Two band-passes, each 2 Q / omega at its centre.
        delay_s_[b] = 2 * 2 * plan.q / (2 * std::numbers::pi * centre);
        if (!has_[b]) continue;
        const BiquadCoefficients c = band_pass(centre, plan.q, rate_hz);
        b0_[b] = static_cast<float>(c.b0);
        a1_[b] = static_cast<float>(c.a1);
        a2_[b] = static_cast<float>(c.a2);
    }
}

Bands BandBank::energy(std::span<const float> samples) {
    Bands cell;
    energies(samples, {&cell, 1});
    return cell;
}

void BandBank::energies(std::span<const float> samples, std::span<Bands> cells) {
    const Lanes b0[2] = {load_lanes(b0_.data()), load_lanes(b0_.data() + lane_count)};
    const Lanes a1[2] = {load_lanes(a1_.data()), load_lanes(a1_.data() + lane_count)};
    const Lanes a2[2] = {load_lanes(a2_.data()), load_lanes(a2_.data() + lane_count)};
    Lanes first1[2], first2[2], second1[2], second2[2];
    for (std::size_t h = 0; h < 2; ++h) {
        first1[h] = load_lanes(first_.s1.data() + h * lane_count);
        first2[h] = load_lanes(first_.s2.data() + h * lane_count);
        second1[h] = load_lanes(second_.s1.data() + h * lane_count);
        second2[h] = load_lanes(second_.s2.data() + h * lane_count);
    }
    const std::size_t length = cells.empty() ? 0 : samples.size() / cells.size();
    const float* next = samples.data();
    for (Bands& cell : cells) {
        Lanes sum[2] = {};
        for (const float* const end = next + length; next != end; ++next) {
            const Lanes x = all_lanes(*next);
            for (std::size_t h = 0; h < 2; ++h) {
                // Transposed direct form II with its states negated, which saves changes of sign; a band-pass has
                // b1 = 0 and b2 = -b0.
                const Lanes in = b0[h] * x;
                const Lanes mid = in - first1[h];
                first1[h] = first2[h] + a1[h] * mid;
                first2[h] = in + a2[h] * mid;
                const Lanes in2 = b0[h] * mid;
                const Lanes out = in2 - second1[h];
                second1[h] = second2[h] + a1[h] * out;
                second2[h] = in2 + a2[h] * out;
                sum[h] += out * out;
            }
        }
        store_lanes(sum[0], cell.data());
        store_lanes(sum[1], cell.data() + lane_count);
    }
    for (std::size_t h = 0; h < 2; ++h) {
        store_lanes(settled(first1[h]), first_.s1.data() + h * lane_count);
        store_lanes(settled(first2[h]), first_.s2.data() + h * lane_count);
        store_lanes(settled(second1[h]), second_.s1.data() + h * lane_count);
        store_lanes(settled(second2[h]), second_.s2.data() + h * lane_count);
    }
}

} // namespace downball::dsp
