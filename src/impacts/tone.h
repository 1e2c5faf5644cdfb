// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "impacts/front_end.h"

#include <cstdint>

namespace downball::impacts {

// ln of the highest spectral line between 1 and 5 kHz over the median line there, in the 32 ms from a
// sample (at the working rate) on: about 2 for noise, 4 and more for a whistle. Powers of the channels are
// summed.
float tone_after(const FrontEnd& front, std::int64_t sample);

} // namespace downball::impacts
