// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/dsp/rational_resampler.h"

#include <algorithm>
#include <cmath>
#include <numbers>

using downball::dsp::RationalResampler;

namespace {

// A sine sampled at that rate: what any resampler should make of it, to the sample, is the same sine sampled
// at the other rate (sampling theorem).
std::vector<float> sine(double hz, int rate_hz, std::size_t n) {
    std::vector<float> out(n);
    for (std::size_t i = 0; i < n; ++i)
        out[i] = static_cast<float>(
            0.5 * std::sin(2 * std::numbers::pi * hz * static_cast<double>(i) / rate_hz + 0.3));
    return out;
}

std::vector<float> resampled(const std::vector<float>& in, int in_hz, int out_hz, std::size_t block) {
    RationalResampler change(in_hz, out_hz);
    std::vector<float> out;
    for (std::size_t at = 0; at < in.size(); at += block)
        change.push({in.data() + at, std::min(block, in.size() - at)}, out);
    change.finish(out);
    return out;
}

// Amplitude of a sine, by its mean power.
double amplitude(const std::vector<float>& x, std::size_t margin) {
    double sum = 0;
    for (std::size_t i = margin; i + margin < x.size(); ++i)
        sum += static_cast<double>(x[i]) * static_cast<double>(x[i]);
    return std::sqrt(2 * sum / static_cast<double>(x.size() - 2 * margin));
}

} // namespace

TEST_CASE("A resampled sine is that sine at the other rate, sample by sample", "[dsp]") {
    for (const int in_hz : {44100, 22050, 96000, 88200, 32000, 44101})
        for (const double hz : {100.0, 1000.0, 5000.0, 9000.0}) {
            const auto out = resampled(sine(hz, in_hz, 20000), in_hz, 48000, 20000);
            REQUIRE(out.size() ==
                    (20000ull * 48000 + static_cast<unsigned>(in_hz) - 1) / static_cast<unsigned>(in_hz));
            const auto wanted = sine(hz, 48000, out.size());
            double worst = 0;
            for (std::size_t i = 600; i + 600 < out.size(); ++i)
                worst =
                    std::max(worst, std::abs(static_cast<double>(out[i]) - static_cast<double>(wanted[i])));
            INFO(in_hz << " Hz, " << hz << " Hz");
            CHECK(worst < 5e-5); // 80 dB under the sine
        }
}

TEST_CASE("The top of the band stays level, and what would fold back goes", "[dsp]") {
    CHECK(amplitude(resampled(sine(19400, 44100, 20000), 44100, 48000, 20000), 600) ==
          Approx(0.5).epsilon(0.003));
    CHECK(amplitude(resampled(sine(21000, 96000, 20000), 96000, 48000, 20000), 600) ==
          Approx(0.5).epsilon(0.003));
    CHECK(amplitude(resampled(sine(25000, 96000, 20000), 96000, 48000, 20000), 600) < 0.5e-4);
}

TEST_CASE("Equal rates change no sample, and a steady level stays exactly that", "[dsp]") {
    const auto same = sine(777, 48000, 5000);
    CHECK(resampled(same, 48000, 48000, 100) == same);
    const auto steady = resampled(std::vector<float>(5000, 0.25f), 44100, 48000, 5000);
    for (std::size_t i = 200; i + 200 < steady.size(); ++i)
        REQUIRE(steady[i] == 0.25f);
}

TEST_CASE("What comes out does not depend on how the input was cut up", "[dsp]") {
    for (const int in_hz : {44100, 96000}) {
        const auto in = sine(440, in_hz, 3000);
        const auto whole = resampled(in, in_hz, 48000, in.size());
        for (const std::size_t block : {1u, 7u, 64u, 1000u})
            CHECK(resampled(in, in_hz, 48000, block) == whole);
    }
    CHECK(resampled({}, 44100, 48000, 1).empty());
    CHECK(resampled({0.5f}, 44100, 48000, 1).size() == 2); // ceil(48000 / 44100)
}
