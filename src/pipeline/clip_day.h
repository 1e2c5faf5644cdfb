// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/long_work.h"
#include "downball/base/result.h"
#include "downball/clocks/day_clock.h"
#include "downball/job/job.h"
#include "downball/shotlog/log.h"

#include <string>
#include <vector>

namespace downball::pipeline {

// What the clips of a day tell together.
struct ClipDay {
    clocks::DayClock clock;
    std::vector<std::string> cameras; // of all clips, by name
    std::vector<std::string> notes;   // clocks that are apart or drift, recordings that a camera split
};

// Places the found clips in the day by the clocks of their cameras, and fills in what that tells of those that the
// log does not have yet: camera, moment, first guess of kind, reel. These are put in order of the day, behind
// the others. A moment that a new clip shares with clips of the log is theirs, if they have one. Errors: stopped on request.
Result<ClipDay> place_in_day(std::vector<shotlog::FoundClip>& clips, const text::CsvTable& log,
                             const job::Job& job, const LongWork& work);

} // namespace downball::pipeline
