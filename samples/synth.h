// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "prng.h"
#include "vec.h"

#include <cstddef>
#include <vector>

namespace downball::sample {

inline constexpr int audio_rate = 48000;

using Mono = std::vector<float>;

struct Stereo {
    Mono left, right;

    explicit Stereo(std::size_t samples) : left(samples), right(samples) {}
    std::size_t size() const { return left.size(); }
};

// Second-order filter, bilinear transform of the usual analogue prototypes.
class Filter {
  public:
    static Filter low_pass(double hz, double q = 0.707);
    static Filter high_pass(double hz, double q = 0.707);
    static Filter band_pass(double hz, double q);
    double operator()(double x) {
        const double y = b0_ * x + s1_;
        s1_ = b1_ * x - a1_ * y + s2_;
        s2_ = b2_ * x - a2_ * y;
        return y;
    }

  private:
    Filter(double b0, double b1, double b2, double a0, double a1, double a2)
        : b0_(b0 / a0), b1_(b1 / a0), b2_(b2 / a0), a1_(a1 / a0), a2_(a2 / a0) {}
    double b0_, b1_, b2_, a1_, a2_, s1_ = 0, s2_ = 0;
};

// A wandering number in 0..1 that takes about 1 / hz seconds from one mood to the next.
class Drift {
  public:
    Drift(double hz, Prng dice)
        : step_(hz / audio_rate), dice_(dice), from_(dice_.unit()), to_(dice_.unit()), at_(dice_.unit()) {}
    double operator()() {
        at_ += step_;
        if (at_ >= 1) {
            at_ -= 1;
            from_ = to_;
            to_ = dice_.unit();
        }
        return mix(from_, to_, ramp(0, 1, at_));
    }

  private:
    double step_;
    Prng dice_;
    double from_, to_, at_;
};

void add(Stereo& into, const Mono& voice, std::ptrdiff_t at, double gain, double pan = 0); // pan -1..1
double rms(const Mono& samples, std::ptrdiff_t from, std::ptrdiff_t to); // clamped to what is there

// Greatest level between the samples too: three points of a windowed sinc in each gap near a loud sample.
double true_peak(const Mono& samples);

} // namespace downball::sample
