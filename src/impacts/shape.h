// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "impacts/feature.h"
#include "impacts/frame_store.h"
#include "impacts/front_end.h"

#include <cstdint>

namespace downball::impacts {

// Frames after an event that must be in the store before its shape can be measured.
inline constexpr std::int64_t shape_ahead = 270;

// Measures the event whose rise was found near `frame`: places its onset and fills all features but those
// that depend on other candidates.
Candidate measure(const FrameStore& store, const FrontEnd& front, std::int64_t frame);

} // namespace downball::impacts
