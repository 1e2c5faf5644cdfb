// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/timeline/build.h"

#include <optional>
#include <vector>

namespace downball::timeline {

// Events of the picture track, tiling the cut; anything else is an Error.
Result<std::vector<VideoEvent>> video_events(const Sources& sources, const std::vector<TimelineMedia>& media,
                                             const std::vector<std::size_t>& entry_of,
                                             std::vector<std::string>& notes);

} // namespace downball::timeline
