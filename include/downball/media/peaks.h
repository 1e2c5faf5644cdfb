// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/long_work.h"
#include "downball/base/result.h"
#include "downball/model/media_info.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>
#include <vector>

namespace downball::media {

inline constexpr std::size_t drawn_peaks = 1600; // as many as a wide screen has pixels

// For drawing a waveform: the largest magnitude in each of `count` even parts of a song's stretch [from_s, to_s), over
// all channels; 1 = full scale. Where the song has no sound: 0. Errors: the song cannot be read, a request to stop.
// `broke_off` is told whether reading failed half-way.
Result<std::vector<float>> song_peaks(const MediaInfo& song, double from_s, double to_s, std::size_t count,
                                      const LongWork& work = {}, bool* broke_off = nullptr);

// The same of samples in memory.
class PeakBins {
  public:
    PeakBins(double samples, std::size_t count)
        : samples_(samples), a_sample_(static_cast<double>(count) / samples), bins_(count) {}
    // A sample by its place in the stretch; others outside it are passed over.
    void add(double at, double value) {
        if (!(at >= 0 && at < samples_) || bins_.empty()) return;
        float& peak = bins_[std::min(bins_.size() - 1, static_cast<std::size_t>(at * a_sample_))];
        peak = std::max(peak, static_cast<float>(std::abs(value)));
    }
    std::vector<float> take() { return std::move(bins_); }

  private:
    double samples_;  // 0: there are none
    double a_sample_; // bins
    std::vector<float> bins_;
};

} // namespace downball::media
