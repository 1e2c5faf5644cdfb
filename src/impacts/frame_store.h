// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/dsp/band_bank.h"

#include <array>
#include <cstdint>
#include <vector>

namespace downball::impacts {

inline constexpr std::int64_t fine_per_frame = 4;

// The last second of band energies, all channels summed: fine frames of about 1/4 ms and whole ones of four
// (about 1 ms), with the noise model as it stood at each whole frame. Indices count from the first sample.
class FrameStore {
  public:
    FrameStore() : fine_(kept_ * fine_per_frame), frames_(kept_), noise_(kept_) {}

    std::int64_t frames() const { return count_; }
    std::int64_t oldest() const { return count_ > size_ ? count_ - size_ : 0; }
    void push(const std::array<dsp::Bands, fine_per_frame>& fine, const dsp::Bands& noise) {
        dsp::Bands sum{};
        for (std::size_t i = 0; i < fine.size(); ++i) {
            fine_[slot(count_) * fine_per_frame + i] = fine[i];
            for (std::size_t b = 0; b < dsp::band_count; ++b)
                sum[b] += fine[i][b];
        }
        frames_[slot(count_)] = sum;
        noise_[slot(count_)] = noise;
        ++count_;
    }
    const dsp::Bands& frame(std::int64_t i) const { return frames_[slot(i)]; }
    const dsp::Bands& noise(std::int64_t i) const { return noise_[slot(i)]; }
    const dsp::Bands& fine(std::int64_t i) const {
        return fine_[static_cast<std::size_t>(i) % (kept_ * static_cast<std::size_t>(fine_per_frame))];
    }

  private:
    static constexpr std::size_t kept_ = 1024;
    static constexpr std::int64_t size_ = kept_;
    static std::size_t slot(std::int64_t i) { return static_cast<std::size_t>(i) % kept_; }

    std::vector<dsp::Bands> fine_, frames_, noise_;
    std::int64_t count_ = 0;
};

} // namespace downball::impacts
