// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/dsp/block.h"

#include <cstddef>
#include <vector>

namespace downball::media {

// Planar samples between a decoder, which gives them as its packets fall, and a reader, who takes blocks of
// one size.
class SampleQueue {
  public:
    explicit SampleQueue(std::size_t channels) : planes_(channels), heads_(channels) {}

    std::size_t size() const { return planes_.front().size() - taken_; }
    std::size_t channels() const { return planes_.size(); }

    void append(const float* const* planes, std::size_t from, std::size_t frames);
    void append_interleaved(const float* samples, std::size_t frames);
    void append_silence(std::size_t frames);

    // The next min(frames, size()) samples, valid until the queue is changed.
    dsp::PlanarBlock take(std::size_t frames);

  private:
    void drop_taken();

    std::vector<std::vector<float>> planes_;
    std::vector<const float*> heads_;
    std::size_t taken_ = 0;
};

} // namespace downball::media
