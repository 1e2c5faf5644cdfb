// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/media_info.h"
#include "downball/model/timeline.h"

#include <cstdint>

namespace downball::preview {

// How many record frames of the event show the same picture of its file as the frame before them, by the rule of
// preview.h. `frames`: of the file; without times in it nothing is known to repeat.
std::int64_t repeated_pictures(const VideoEvent& event, const TimelineMedia& media, const FrameTable& frames,
                               Rate list);

} // namespace downball::preview
