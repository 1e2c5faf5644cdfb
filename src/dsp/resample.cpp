// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/dsp/resample.h"

#include "downball/dsp/lanes.h"

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

// The input is dealt out by phase, so that what one tap asks of neighbouring outputs lies side by side; some outputs
// are summed at once, each of them tap by tap in one order.
void Decimator::drain(std::vector<float>& out, std::size_t outputs) {
    const auto step = static_cast<std::size_t>(factor_);
    constexpr std::size_t group = 4 * lane_count;
    const std::size_t length = outputs + taps_.size() / step + group;
    phases_.resize(step * length);
    for (std::size_t phase = 0; phase < step; ++phase) {
        float* to = phases_.data() + phase * length;
        const std::size_t end = std::min(held_.size(), phase + step * length);
        for (std::size_t at = phase; at < end; at += step)
            *to++ = held_[at];
        std::fill(to, phases_.data() + (phase + 1) * length, 0.0f);
    }
    const std::size_t first = out.size();
    out.resize(first + outputs);
    for (std::size_t j = 0; j < outputs; j += group) {
        Lanes sums[4] = {};
        for (std::size_t k = 0, phase = 0, row = 0; k < taps_.size(); ++k) {
            const Lanes tap = all_lanes(taps_[k]);
            const float* const input = phases_.data() + phase * length + row + j;
            for (std::size_t n = 0; n < 4; ++n)
                sums[n] += tap * load_lanes(input + n * lane_count);
            if (++phase == step) {
                phase = 0;
                ++row;
            }
        }
        float group_out[group];
        for (std::size_t n = 0; n < 4; ++n)
            store_lanes(sums[n], group_out + n * lane_count);
        std::copy_n(group_out, std::min(group, outputs - j), out.data() + first + j);
    }
    held_.erase(held_.begin(), held_.begin() + static_cast<std::ptrdiff_t>(outputs * step));
    made_ += outputs;
}

} // namespace downball::dsp
