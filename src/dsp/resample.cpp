// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/dsp/resample.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace downball::dsp {

namespace {

// 8 lobes of the sinc; the -6 dB point at 0.9 of the new Nyquist leaves 40 dB and more against the fold-back
// that could pass for an onset.
std::vector<float> low_pass(int factor) {
    const int half = 4 * factor;
    const double cutoff = 0.9 / factor;
    std::vector<double> taps(static_cast<std::size_t>(2 * half + 1));
    double sum = 0;
    for (int i = -half; i <= half; ++i) {
        const double x = std::numbers::pi * cutoff * i;
        const double window = 0.5 + 0.5 * std::cos(std::numbers::pi * i / (half + 1));
        const double tap = (i == 0 ? 1.0 : std::sin(x) / x) * window;
        taps[static_cast<std::size_t>(i + half)] = tap;
        sum += tap;
    }
    std::vector<float> out;
    for (double tap : taps)
        out.push_back(static_cast<float>(tap / sum));
    return out;
}

} // namespace

Decimator::Decimator(int factor) : factor_(std::max(1, factor)) {
    if (factor_ > 1) {
        taps_ = low_pass(factor_);
        held_.assign(taps_.size() / 2, 0.0f);
    }
}

void Decimator::push(std::span<const float> in, std::vector<float>& out) {
    taken_ += in.size();
    if (factor_ == 1) {
        out.insert(out.end(), in.begin(), in.end());
        made_ += in.size();
        return;
    }
    held_.insert(held_.end(), in.begin(), in.end());
    if (held_.size() >= taps_.size())
        drain(out, (held_.size() - taps_.size()) / static_cast<std::size_t>(factor_) + 1);
}

void Decimator::finish(std::vector<float>& out) {
    const auto step = static_cast<std::size_t>(factor_);
    const std::size_t wanted = (taken_ + step - 1) / step;
    if (made_ >= wanted) return;
    const std::size_t outputs = wanted - made_;
    held_.resize(std::max(held_.size(), (outputs - 1) * step + taps_.size()), 0.0f);
    drain(out, outputs);
}

// Tap by tap over all outputs: each output sums in one order, and the inner loop still runs in vectors.
void Decimator::drain(std::vector<float>& out, std::size_t outputs) {
    const auto step = static_cast<std::size_t>(factor_);
    const std::size_t first = out.size();
    out.resize(first + outputs, 0.0f);
    float* sums = out.data() + first;
    for (std::size_t k = 0; k < taps_.size(); ++k) {
        const float tap = taps_[k];
        const float* input = held_.data() + k;
        for (std::size_t j = 0; j < outputs; ++j)
            sums[j] += tap * input[j * step];
    }
    held_.erase(held_.begin(), held_.begin() + static_cast<std::ptrdiff_t>(outputs * step));
    made_ += outputs;
}

} // namespace downball::dsp
