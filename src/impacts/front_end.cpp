// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/front_end.h"

#include <algorithm>
#include <cmath>

namespace downball::impacts {
namespace {

constexpr float full_scale = 0.99f;
constexpr int clipped_run = 3; // so many samples in a row at full scale are no peak but a flat top

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
    folded_.resize(frame_work_);
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
    for (float& x : samples) {
        if (!std::isfinite(x)) {
            x = 0;
            ++health.not_finite;
        }
        at_rail_[channel] = std::abs(x) >= full_scale ? at_rail_[channel] + 1 : 0;
        if (at_rail_[channel] == clipped_run) ++health.clipped;
    }
}

std::array<dsp::Bands, fine_per_frame> FrontEnd::take_frame() {
    std::array<dsp::Bands, fine_per_frame> sum{};
    const std::size_t fine = frame_work_ / fine_per_frame;
    for (std::size_t c = 0; c < banks_.size(); ++c) {
        watch(c, waiting_[c]);
        for (std::size_t i = 0; i < frame_work_; ++i) {
            float mean = 0;
            for (std::size_t k = 0; k < fold_; ++k)
                mean += waiting_[c][i * fold_ + k];
            folded_[i] = mean / static_cast<float>(fold_);
            past_[c][static_cast<std::size_t>(past_end_ + static_cast<std::int64_t>(i)) % past_length] =
                folded_[i];
        }
        for (std::size_t i = 0; i < sum.size(); ++i) {
            const dsp::Bands e = banks_[c].energy(std::span(folded_).subspan(i * fine, fine));
            for (std::size_t b = 0; b < dsp::band_count; ++b) {
                sum[i][b] += e[b];
                health_[c].power += static_cast<double>(e[b]);
            }
        }
    }
    past_end_ += static_cast<std::int64_t>(frame_work_);
    filled_ = 0;
    return sum;
}

} // namespace downball::impacts
