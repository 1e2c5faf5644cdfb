// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/dsp/noise_floor.h"

#include <algorithm>
#include <span>

namespace downball::dsp {
namespace {

std::ptrdiff_t place(double share, std::size_t count) {
    return static_cast<std::ptrdiff_t>(share * static_cast<double>(count - 1));
}

// In order stays in order: one value out, unless the window is still filling, and one in.
void replace(std::span<float> sorted, bool full, float out, float in) {
    const auto end = sorted.end() - 1; // where the last one stands, or the new one will
    if (full) {
        const auto gone = std::lower_bound(sorted.begin(), end, out);
        std::copy(gone + 1, sorted.end(), gone);
    }
    const auto at = std::upper_bound(sorted.begin(), end, in);
    std::copy_backward(at, end, sorted.end());
    *at = in;
}

} // namespace

void NoiseFloor::push(const Bands& frame) {
    for (std::size_t b = 0; b < band_count; ++b)
        sum_[b] += frame[b];
    if (++in_sum_ < options_.frames_per_block) return;

    const bool full = filled_ == kept_;
    filled_ = std::min(filled_ + 1, kept_);
    for (std::size_t b = 0; b < band_count; ++b) {
        const float mean = sum_[b] / static_cast<float>(in_sum_);
        const float in = mean >= 0 ? mean : 0; // no number would have no place in the order
        replace(std::span(sorted_[b]).first(filled_), full, blocks_[next_][b], in);
        blocks_[next_][b] = in;
    }
    sum_ = {};
    in_sum_ = 0;
    next_ = (next_ + 1) % kept_;

    const std::size_t fast = std::min(options_.fast_blocks, filled_);
    const std::ptrdiff_t middle = place(0.5, fast), low = place(options_.low_quantile, filled_);
    std::array<float, kept_> newest;
    for (std::size_t b = 0; b < band_count; ++b) {
        for (std::size_t i = 0; i < fast; ++i)
            newest[i] = blocks_[(next_ + kept_ - 1 - i) % kept_][b];
        std::nth_element(newest.begin(), newest.begin() + middle,
                         newest.begin() + static_cast<std::ptrdiff_t>(fast));
        level_[b] =
            std::max(newest[static_cast<std::size_t>(middle)], sorted_[b][static_cast<std::size_t>(low)]);
    }
}

} // namespace downball::dsp
