// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/sample_clock.h"

#include <algorithm>
#include <cmath>

namespace downball::media {

SampleClock::SampleClock(int rate_hz, double tick_s, bool may_jump)
    : rate_(rate_hz), tick_samples_(tick_s * rate_hz), may_jump_(may_jump) {}

double SampleClock::tolerance(std::int64_t samples) const {
    // A lost packet leaves a hole of a whole packet, jitter of a phone's clock less than that; 20 ms bounds
    // long packets, 5 ms and two ticks keep the rounding of short ones from being taken for holes.
    const auto rate = static_cast<double>(rate_);
    const auto least = std::max(0.005 * rate, 2 * tick_samples_);
    return std::max(least, std::min(0.75 * static_cast<double>(samples), 0.020 * rate));
}

bool SampleClock::off_count(std::int64_t stated, std::int64_t samples) const {
    return std::abs(static_cast<double>(counted(stated) - position_)) > tolerance(samples);
}

SampleClock::Place SampleClock::place(std::int64_t stated, std::int64_t samples) {
    if (!off_count(stated, samples)) return {};
    const auto ahead = counted(stated) - position_;
    const auto longest_gap = (may_jump_ ? 10 : 3600) * rate_;
    const auto longest_overlap = may_jump_ ? rate_ / 10 : 10 * rate_;
    if (ahead > longest_gap || -ahead > longest_overlap) {
        jumps_ += ahead;
        return {.gap = 0, .cut = 0, .jumped = true};
    }
    if (ahead > 0) return {.gap = ahead, .cut = 0, .jumped = false};
    return {.gap = 0, .cut = std::min(-ahead, samples), .jumped = false};
}

} // namespace downball::media
