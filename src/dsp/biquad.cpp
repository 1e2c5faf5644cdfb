// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/dsp/biquad.h"

#include <cmath>
#include <complex>
#include <numbers>

namespace downball::dsp {
namespace {

struct Angle {
    double cosine;
    double alpha;
};

Angle angle_of(double hz, double q, double rate_hz) {
    const double omega = 2 * std::numbers::pi * hz / rate_hz;
    return {std::cos(omega), std::sin(omega) / (2 * q)};
}

BiquadCoefficients normalised(double b0, double b1, double b2, const Angle& at) {
    const double a0 = 1 + at.alpha;
    return {b0 / a0, b1 / a0, b2 / a0, -2 * at.cosine / a0, (1 - at.alpha) / a0};
}

} // namespace

BiquadCoefficients band_pass(double centre_hz, double q, double rate_hz) {
    const Angle at = angle_of(centre_hz, q, rate_hz);
    return normalised(at.alpha, 0, -at.alpha, at);
}

BiquadCoefficients high_pass(double corner_hz, double q, double rate_hz) {
    const Angle at = angle_of(corner_hz, q, rate_hz);
    const double b = (1 + at.cosine) / 2;
    return normalised(b, -2 * b, b, at);
}

BiquadCoefficients low_pass(double corner_hz, double q, double rate_hz) {
    const Angle at = angle_of(corner_hz, q, rate_hz);
    const double b = (1 - at.cosine) / 2;
    return normalised(b, 2 * b, b, at);
}

double magnitude(const BiquadCoefficients& c, double hz, double rate_hz) {
    const std::complex<double> z = std::polar(1.0, -2 * std::numbers::pi * hz / rate_hz);
    return std::abs((c.b0 + c.b1 * z + c.b2 * z * z) / (1.0 + c.a1 * z + c.a2 * z * z));
}

} // namespace downball::dsp
