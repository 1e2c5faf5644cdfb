// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "impacts/frame_store.h"

#include "downball/dsp/band_bank.h"
#include "downball/dsp/block.h"

#include <cstdint>
#include <span>
#include <vector>

namespace downball::impacts {

// What was seen of one channel's samples.
struct ChannelHealth {
    double power = 0; // sum of squares of the bands: no DC
    std::int64_t clipped = 0;
    std::int64_t not_finite = 0;
};

// Samples of all channels to band energies summed over the channels: never a downmix, in which channels out
// of phase would cancel. High rates are first averaged down to 44-64 kHz.
class FrontEnd {
  public:
    FrontEnd(int rate_hz, int channels);

    double frame_s() const { return frame_s_; }
    double work_rate_hz() const { return work_rate_hz_; }
    const dsp::BandBank& bank() const { return banks_.front(); }

    // Calls `sink(fine energies)` for each whole frame that became complete.
    template <class Sink>
    void push(const dsp::PlanarBlock& block, Sink&& sink) {
        for (std::size_t done = 0; done < block.frames;) {
            done += fill(block, done);
            if (filled_ == frame_in_) sink(take_frame());
        }
    }

    std::int64_t samples() const { return samples_; }
    const std::vector<ChannelHealth>& health() const { return health_; }

    // Copies samples of one channel at the working rate from `sample` on, of the last 0.37 s or so.
    void past(std::size_t channel, std::int64_t sample, std::span<float> to) const;
    std::size_t channels() const { return banks_.size(); }
    std::int64_t past_end() const { return past_end_; }
    std::int64_t frame_samples() const { return static_cast<std::int64_t>(frame_work_); }
    static constexpr std::size_t past_length = 32768;

  private:
    std::size_t fill(const dsp::PlanarBlock& block, std::size_t from);
    std::array<dsp::Bands, fine_per_frame> take_frame();
    void watch(std::size_t channel, std::span<float> samples);
    std::span<const float> folded(std::span<const float> samples);
    void keep(std::size_t channel, std::span<const float> samples);

    std::size_t fold_ = 1;       // input samples averaged into one
    std::size_t frame_work_ = 0; // samples of a frame at the working rate
    std::size_t frame_in_ = 0;   // the same in input samples
    double frame_s_ = 0, work_rate_hz_ = 0;
    std::vector<dsp::BandBank> banks_;
    std::vector<std::vector<float>> waiting_, past_;
    std::size_t filled_ = 0;
    std::int64_t past_end_ = 0, samples_ = 0;
    std::vector<float> folded_;
    std::vector<int> at_rail_; // samples in a row at full scale, by channel
    std::vector<ChannelHealth> health_;
};

} // namespace downball::impacts
