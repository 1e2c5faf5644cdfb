// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/dsp/rational_resampler.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

namespace downball::dsp {

namespace {

// Kaiser's formulas: beta 10 gives 100 dB; with 64 lobes on either side the transition then is a tenth of the
// Nyquist frequency wide, centred on 0.945 of it.
constexpr double beta = 10;
constexpr double lobes = 64;
constexpr double cutoff = 0.945;

double bessel_i0(double x) {
    double sum = 1, term = 1;
    for (int k = 1; term > sum * 1e-17; ++k) {
        term *= (x / (2 * k)) * (x / (2 * k));
        sum += term;
    }
    return sum;
}

// Weight of an input `away` input samples from the output; `scale` is the lower Nyquist over the input's.
double tap(double away, double scale, double reach) {
    const double place = away / reach;
    if (std::abs(place) >= 1) return 0;
    const double x = std::numbers::pi * away * cutoff * scale;
    const double sinc = std::abs(x) < 1e-12 ? 1 : std::sin(x) / x;
    return sinc * bessel_i0(beta * std::sqrt(1 - place * place));
}

double dot(const double* taps, const float* in, std::size_t n) {
    double sums[4] = {0, 0, 0, 0}; // four, so that they need not wait for each other
    for (std::size_t i = 0; i + 4 <= n; i += 4)
        for (std::size_t k = 0; k < 4; ++k)
            sums[k] += taps[i + k] * static_cast<double>(in[i + k]);
    for (std::size_t i = n / 4 * 4; i < n; ++i)
        sums[0] += taps[i] * static_cast<double>(in[i]);
    return (sums[0] + sums[1]) + (sums[2] + sums[3]);
}

} // namespace

RationalResampler::RationalResampler(int in_hz, int out_hz)
    : up_(out_hz / std::gcd(in_hz, out_hz)), down_(in_hz / std::gcd(in_hz, out_hz)) {
    if (up_ == down_) return;
    const double scale = std::min(1.0, static_cast<double>(up_) / static_cast<double>(down_));
    const double half = lobes / (cutoff * scale);
    reach_ = static_cast<std::int64_t>(std::ceil(half));
    const auto width = static_cast<std::size_t>(2 * reach_);
    phases_.resize(static_cast<std::size_t>(up_) * width);
    for (std::int64_t p = 0; p < up_; ++p) {
        double* taps = phases_.data() + static_cast<std::size_t>(p) * width;
        const double at = static_cast<double>(p) / static_cast<double>(up_);
        for (std::size_t i = 0; i < width; ++i)
            taps[i] = tap(static_cast<double>(static_cast<std::int64_t>(i) - reach_ + 1) - at, scale, half);
        const double sum = std::accumulate(taps, taps + width, 0.0);
        for (std::size_t i = 0; i < width; ++i)
            taps[i] /= sum;
    }
    held_.assign(static_cast<std::size_t>(reach_), 0.0f); // silence before the first sample
    held_from_ = -reach_;
}

void RationalResampler::push(std::span<const float> in, std::vector<float>& out) {
    taken_ += static_cast<std::int64_t>(in.size());
    if (up_ == down_) {
        out.insert(out.end(), in.begin(), in.end());
        made_ = taken_;
        return;
    }
    held_.insert(held_.end(), in.begin(), in.end());
    // Output j needs inputs up to floor(j x down / up) + reach.
    const std::int64_t last = taken_ - 1 - reach_;
    if (last >= 0) drain(out, ((last + 1) * up_ - 1) / down_ + 1);
}

void RationalResampler::finish(std::vector<float>& out) {
    const std::int64_t wanted = (taken_ * up_ + down_ - 1) / down_;
    if (made_ >= wanted) return;
    held_.resize(held_.size() + static_cast<std::size_t>(2 * reach_), 0.0f);
    drain(out, wanted);
}

void RationalResampler::drain(std::vector<float>& out, std::int64_t until) {
    const auto width = static_cast<std::size_t>(2 * reach_);
    for (; made_ < until; ++made_) {
        const std::int64_t at = made_ * down_;
        const auto phase = static_cast<std::size_t>(at % up_);
        const auto from = static_cast<std::size_t>(at / up_ - reach_ + 1 - held_from_);
        out.push_back(static_cast<float>(dot(phases_.data() + phase * width, held_.data() + from, width)));
    }
    const std::int64_t needed = made_ * down_ / up_ - reach_ + 1; // by the next output
    const auto spent =
        std::clamp<std::int64_t>(needed - held_from_, 0, static_cast<std::int64_t>(held_.size()));
    held_.erase(held_.begin(), held_.begin() + static_cast<std::ptrdiff_t>(spent));
    held_from_ += spent;
}

} // namespace downball::dsp
