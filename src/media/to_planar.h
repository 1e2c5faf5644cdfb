// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "media/ffmpeg.h"
#include "media/sample_queue.h"

#include <cstdint>
#include <optional>
#include <vector>

namespace downball::media {

// Turns decoded frames of any sample format into planar floats of one rate and channel layout, those of the
// first frame. Later frames of another rate or layout are converted to it.
class ToPlanar {
  public:
    explicit ToPlanar(const AVFrame& first);

    int rate_hz() const { return rate_hz_; }
    int channels() const { return layout_.get().nb_channels; }

    bool changed(const AVFrame& frame) const;

    // The samples of a frame; the pointers hold until the next call. Planes may hold fewer or more samples
    // than the frame where the rate is converted. Nothing if the library refuses.
    struct Planes {
        const float* const* planes = nullptr;
        std::size_t frames = 0;
    };
    std::optional<Planes> convert(const AVFrame& frame);
    // What is still inside the rate converter; empty without one.
    Planes drain();
    // Samples taken in that have not come out yet, at rate_hz().
    std::int64_t held() const;

  private:
    bool configure(const AVFrame& frame);
    std::optional<Planes> run(const std::uint8_t** data, int samples);

    int rate_hz_;
    Layout layout_;
    SwrPtr swr_; // null while frames come as they leave
    int in_rate_ = 0;
    int in_format_ = -1;
    Layout in_layout_;
    std::vector<std::vector<float>> buffers_;
    std::vector<float*> out_;
};

} // namespace downball::media
