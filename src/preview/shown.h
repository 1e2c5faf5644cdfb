// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/timeline.h"

#include <vector>

namespace downball::preview {

// Media second that a source frame, label included, begins at, without rounding.
Fraction exact_media_s(const TimelineMedia& media, Frame source, Rate list);

// Media second at which a record frame of an event looks, counted from its first: the middle of the frame, at its speed.
Fraction shown_s(const VideoEvent& event, const TimelineMedia& media, Rate list, Frame into);
// The same of all its record frames.
std::vector<Fraction> shown_s(const VideoEvent& event, const TimelineMedia& media, Rate list);

} // namespace downball::preview
