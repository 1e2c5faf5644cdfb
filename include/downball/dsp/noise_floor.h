// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/dsp/band_bank.h"

#include <array>
#include <cstddef>

namespace downball::dsp {

struct NoiseFloorOptions {
    std::size_t frames_per_block = 16; // frames pushed that make one block mean
    double low_quantile = 0.3;         // of the last second: what is there between the events
    std::size_t fast_blocks = 9;       // their median follows a gust within 80 ms and ignores one blow
};

// The level each band has when nothing happens: the larger of a low quantile of about the last second and of
// the median of the last few blocks. Both are order statistics, so one loud event moves neither.
class NoiseFloor {
  public:
    explicit NoiseFloor(const NoiseFloorOptions& options = {}) : options_(options) {}

    void push(const Bands& frame);
    // From whole blocks pushed so far; all 0 before the first one.
    const Bands& level() const { return level_; }

  private:
    static constexpr std::size_t kept_ = 64;

    NoiseFloorOptions options_;
    std::array<Bands, kept_> blocks_{};
    std::array<std::array<float, kept_>, band_count> sorted_{}; // the same, band by band
    std::size_t filled_ = 0, next_ = 0;
    Bands sum_{}, level_{};
    std::size_t in_sum_ = 0;
};

} // namespace downball::dsp
