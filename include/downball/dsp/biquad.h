// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <span>

namespace downball::dsp {

// y[n] = b0 x[n] + b1 x[n-1] + b2 x[n-2] - a1 y[n-1] - a2 y[n-2]
struct BiquadCoefficients {
    double b0 = 1, b1 = 0, b2 = 0, a1 = 0, a2 = 0;
};

// Designs by the bilinear transform, with the frequency warped so that it is met exactly; 0 < f < rate / 2.
BiquadCoefficients band_pass(double centre_hz, double q, double rate_hz); // gain 1 at the centre
BiquadCoefficients high_pass(double corner_hz, double q, double rate_hz);
BiquadCoefficients low_pass(double corner_hz, double q, double rate_hz);

// |H| at a frequency, for tests and for planning.
double magnitude(const BiquadCoefficients& c, double hz, double rate_hz);

class Biquad {
  public:
    explicit Biquad(const BiquadCoefficients& c) : c_(c) {}
    double operator()(double x) {
        const double y = c_.b0 * x + s1_;
        s1_ = c_.b1 * x - c_.a1 * y + s2_;
        s2_ = c_.b2 * x - c_.a2 * y;
        return y;
    }

  private:
    BiquadCoefficients c_;
    double s1_ = 0, s2_ = 0;
};

} // namespace downball::dsp
