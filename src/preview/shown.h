// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/timeline.h"

#include <vector>

namespace downball::preview {

// Media second that a source frame, label included, begins at, without rounding.
Fraction exact_media_s(const TimelineMedia& media, Frame source, Rate list);

// Media seconds at which the record frames of an event look: the middles of the frames, at its speed.
std::vector<Fraction> shown_s(const VideoEvent& event, const TimelineMedia& media, Rate list);

} // namespace downball::preview
