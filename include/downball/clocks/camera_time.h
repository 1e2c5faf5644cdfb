// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/media_info.h"

#include <optional>
#include <span>
#include <vector>

namespace downball::clocks {

// When a file began by the clock of its camera, in seconds since 1970 as if that clock showed UTC.
struct Began {
    double at_s = 0;   // a label as it stands; of a creation time the middle of what it leaves open
    double step_s = 1; // how finely it tells: at_s is right to within half of this
};

// ISO 8601 as containers have it, "2026-07-18T15:22:10.000000Z", a zone behind it or none.
std::optional<double> seconds_since_1970(const std::string& iso);

// Reads the clock of one camera off its files, given in the order they were made. `real_s` is how long each
// lasted in real life, which for files that play slower than life is less than their duration.
// Start labels, and the time of day in a recorder's files, are taken for a clock unless they run on from file to file, as record-run timecode does, or fall
// out of step with the creation times; they tell to the frame, and the creation times, if there are any, the
// day. Creation times that would make recordings overlap, and do not as ends, are taken for the ends.
// Nothing where a file tells neither.
std::vector<std::optional<Began>> read_camera_clock(std::span<const MediaInfo* const> files,
                                                    std::span<const double> real_s);

} // namespace downball::clocks
