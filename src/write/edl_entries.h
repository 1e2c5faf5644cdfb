// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/timeline.h"

#include <string>
#include <vector>

namespace downball::write {

// One event of a list, whichever track it is on. Record counts from record start.
struct EdlEntry {
    const char* channel = "V"; // V, A or A2
    std::optional<std::size_t> media;
    FrameRange record;
    FrameRange source;
    Fraction speed{1};
    std::vector<Marker> markers;
    const char* marker_colour = "RED";
    std::string shot; // natural sound: whose it is
    int fade_frames = 0;
};

// The cut as one run of entries a list, in the order they are written, each run at most `most` long. Borders
// between runs lie on cuts; sound that runs over one is divided there.
std::vector<std::vector<EdlEntry>> edl_parts(const Timeline& timeline, std::size_t most);

} // namespace downball::write
