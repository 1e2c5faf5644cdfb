// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "impacts/front_end.h"

#include <cstdint>

namespace downball::impacts {

// ln of the highest spectral line over the median line, in 512 folded samples (32 ms at
// 48 kHz) from a sample (at the working rate) on: about 2 for noise. Powers of the channels are summed.
struct Tones {
    float whistle = 0; // 1-5 kHz: 4 and more for a whistle
    float ring = 0;    // 90-800 Hz: a struck ball's partials
};
Tones tones_after(const FrontEnd& front, std::int64_t sample);

} // namespace downball::impacts
