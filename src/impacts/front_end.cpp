// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/front_end.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>

namespace downball::impacts {
namespace {

constexpr float full_scale = 0.99f;
constexpr int clipped_run = 3; // so many samples in a row at full scale are no peak but a flat top

// Whether any sample is at full scale or no number. In integers, which order magnitudes as floats do and put
// what is no finite number above all of them, so that the loop runs in vectors.
bool worth_watching(std::span<const float> samples) {
    constexpr std::int32_t rail = std::bit_cast<std::int32_t>(full_scale);
    std::int32_t any = 0;
    for (const float x : samples)
        any |= (std::bit_cast<std::int32_t>(x) & std::numeric_limits<std::int32_t>::max()) >= rail;
    return any != 0;
}

} // namespace

FrontEnd::FrontEnd(int rate_hz, int channels) {
    fold_ = static_cast<std::size_t>(std::max(1, rate_hz / 44100));
    work_rate_hz_ = static_cast<double>(rate_hz) / static_cast<double>(fold_);
    const auto fine = static_cast<std::size_t>(std::max(1L, std::lround(work_rate_hz_ / 4000)));
    frame_work_ = fine * fine_per_frame;
    frame_in_ = frame_work_ * fold_;
    frame_s_ = static_cast<double>(frame_in_) / rate_hz;
    const auto count = static_cast<std::size_t>(channels);
    banks_.assign(count, dsp::BandBank(work_rate_hz_));
    waiting_.assign(count, std::vector<float>(frame_in_));
    past_.assign(count, std::vector<float>(past_length));
    folded_.resize(fold_ > 1 ? frame_work_ : 0);
    at_rail_.assign(count, 0);
    health_.resize(count);
}

std::size_t FrontEnd::fill(const dsp::PlanarBlock& block, std::size_t from) {
    const std::size_t n = std::min(block.frames - from, frame_in_ - filled_);
    for (std::size_t c = 0; c < banks_.size(); ++c)
        std::copy_n(block.channels[c] + from, n, waiting_[c].begin() + static_cast<std::ptrdiff_t>(filled_));
    filled_ += n;
    samples_ += static_cast<std::int64_t>(n);
    return n;
}

void FrontEnd::watch(std::size_t channel, std::span<float> samples) {
    ChannelHealth& health = health_[channel];
    if (!worth_watching(samples)) {
        at_rail_[channel] = 0;
        return;
    }
    for (float& x : samples) {
        if (!std::isfinite(x)) {
            x = 0;
            ++health.not_finite;
        }
        at_rail_[channel] = std::abs(x) >= full_scale ? at_rail_[channel] + 1 : 0;
        if (at_rail_[channel] == clipped_run) ++health.clipped;
    }
}

std::span<const float> FrontEnd::folded(std::span<const float> samples) {
    if (fold_ == 1) return samples;
    for (std::size_t i = 0; i < frame_work_; ++i) {
        float mean = 0;
        for (std::size_t k = 0; k < fold_; ++k)
            mean += samples[i * fold_ + k];
        folded_[i] = mean / static_cast<float>(fold_);
    }
    return folded_;
}

void FrontEnd::keep(std::size_t channel, std::span<const float> samples) {
    const std::size_t at = static_cast<std::size_t>(past_end_) % past_length;
    const std::size_t first = std::min(samples.size(), past_length - at);
    std::copy_n(samples.begin(), first, past_[channel].begin() + static_cast<std::ptrdiff_t>(at));
    std::copy_n(samples.begin() + static_cast<std::ptrdiff_t>(first), samples.size() - first,
                past_[channel].begin());
}

void FrontEnd::past(std::size_t channel, std::int64_t sample, std::span<float> to) const {
    const std::vector<float>& from = past_[channel];
    const std::size_t at = static_cast<std::size_t>(sample) % past_length;
    const std::size_t first = std::min(to.size(), past_length - at);
    std::copy_n(from.begin() + static_cast<std::ptrdiff_t>(at), first, to.begin());
    std::copy_n(from.begin(), to.size() - first, to.begin() + static_cast<std::ptrdiff_t>(first));
}

std::array<dsp::Bands, fine_per_frame> FrontEnd::take_frame() {
    std::array<dsp::Bands, fine_per_frame> sum{}, own;
    for (std::size_t c = 0; c < banks_.size(); ++c) {
        watch(c, waiting_[c]);
        const std::span<const float> samples = folded(waiting_[c]);
        keep(c, samples);
        banks_[c].energies(samples, own);
        dsp::Bands whole{};
        for (std::size_t i = 0; i < sum.size(); ++i)
            for (std::size_t b = 0; b < dsp::band_count; ++b) {
                sum[i][b] += own[i][b];
                whole[b] += own[i][b];
            }
        double power = 0;
        for (const float e : whole)
            power += static_cast<double>(e);
        health_[c].power += power;
    }
    past_end_ += static_cast<std::int64_t>(frame_work_);
    filled_ = 0;
    return sum;
}

} // namespace downball::impacts
