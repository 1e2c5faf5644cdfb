// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/dsp/biquad.h"

#include <cmath>

using namespace downball::dsp;

TEST_CASE("a band-pass passes its centre whole and DC not at all") {
    for (const double rate : {8000.0, 44100.0, 192000.0}) {
        const BiquadCoefficients c = band_pass(210, 0.9, rate);
        CHECK(magnitude(c, 210, rate) == Approx(1).margin(1e-9));
        CHECK(magnitude(c, 0, rate) == Approx(0).margin(1e-12));
        CHECK(magnitude(c, rate / 2, rate) == Approx(0).margin(1e-9));
    }
}

TEST_CASE("with Q = 1/sqrt 2 low- and high-pass are Butterworth filters") {
    // |H|^2 = 1 / (1 + (f / fc)^4), Butterworth 1930 (from memory); far below half the rate, where the
    // bilinear transform bends the frequency axis by less than the tolerance.
    const double rate = 192000, q = std::sqrt(0.5);
    for (const double octaves : {-2.0, -1.0, 0.0, 1.0, 2.0}) {
        const double ratio = std::exp2(octaves);
        const double low = 1 / std::sqrt(1 + std::pow(ratio, 4));
        CHECK(magnitude(low_pass(500, q, rate), 500 * ratio, rate) == Approx(low).margin(1e-3));
        CHECK(magnitude(high_pass(500, q, rate), 500 / ratio, rate) == Approx(low).margin(1e-3));
    }
}

TEST_CASE("a running filter does to a sine what its response says") {
    const double rate = 48000, hz = 1000;
    const BiquadCoefficients c = high_pass(2000, 0.7, rate);
    Biquad run(c);
    double sum = 0;
    for (int i = 0; i < 9600; ++i) {
        const double y = run(std::sin(2 * std::acos(-1.0) * hz * i / rate));
        if (i >= 4800) sum += y * y; // whole periods, after the filter has settled
    }
    CHECK(std::sqrt(2 * sum / 4800) == Approx(magnitude(c, hz, rate)).epsilon(1e-6));
}
