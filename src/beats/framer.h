// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <cstddef>
#include <span>
#include <vector>

namespace downball::beats {

// Cuts a stream into overlapping frames; frame k is centred on sample k * hop, with silence before the start.
class Framer {
  public:
    Framer(std::size_t size, std::size_t hop) : size_(size), hop_(hop), held_(size / 2, 0.0f) {}

    void push(std::span<const float> in) { held_.insert(held_.end(), in.begin(), in.end()); }
    void pad() { held_.resize(held_.size() + size_, 0.0f); }

    bool ready() const { return held_.size() >= at_ + size_; }
    const float* frame() const { return held_.data() + at_; }
    void advance() {
        at_ += hop_;
        if (at_ > 8 * size_) {
            const std::size_t gone = std::min(at_, held_.size());
            held_.erase(held_.begin(), held_.begin() + static_cast<std::ptrdiff_t>(gone));
            at_ -= gone;
        }
    }

  private:
    std::size_t size_;
    std::size_t hop_;
    std::size_t at_ = 0;
    std::vector<float> held_;
};

} // namespace downball::beats
