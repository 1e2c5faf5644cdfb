// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/dsp/noise_floor.h"

#include <algorithm>
#include <span>

namespace downball::dsp {
namespace {

float quantile(std::span<float> values, double share) {
    const auto at = static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
    std::nth_element(values.begin(), values.begin() + at, values.end());
    return values[static_cast<std::size_t>(at)];
}

} // namespace

void NoiseFloor::push(const Bands& frame) {
    for (std::size_t b = 0; b < band_count; ++b)
        sum_[b] += frame[b];
    if (++in_sum_ < options_.frames_per_block) return;

    for (std::size_t b = 0; b < band_count; ++b)
        blocks_[next_][b] = sum_[b] / static_cast<float>(in_sum_);
    sum_ = {};
    in_sum_ = 0;
    next_ = (next_ + 1) % kept_;
    filled_ = std::min(filled_ + 1, kept_);

    const std::size_t fast = std::min(options_.fast_blocks, filled_);
    std::array<float, kept_> column;
    for (std::size_t b = 0; b < band_count; ++b) {
        for (std::size_t i = 0; i < filled_; ++i)
            column[i] = blocks_[(next_ + kept_ - 1 - i) % kept_][b];
        // Newest first: the fast median is taken before the quantile reorders the column.
        const float median = quantile(std::span(column.data(), fast), 0.5);
        level_[b] = std::max(median, quantile(std::span(column.data(), filled_), options_.low_quantile));
    }
}

} // namespace downball::dsp
