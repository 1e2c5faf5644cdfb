// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "pipeline/edited_list.h"

#include <optional>
#include <string>
#include <vector>

namespace downball::pipeline {

// A shot of a list, told by the log.
struct ListedShot {
    FrameRange record;               // from record start
    std::optional<std::size_t> take; // index in ShotLog::takes; nothing: not of this log
    std::string id;      // as PlannedShot has it, as yet without ordinals; empty: cannot be locked
    std::string contact; // an action's
    std::string told;    // our id, as its metadata or a marker has it; may be of another place by now
    std::string called;  // file, for people
    double beat_s = 0;   // record second of the beat nearest to what it hangs on
    Fraction speed{1};
    std::size_t held = 1;            // contacts of a rally on the beat
    std::optional<PlannedShot> plan; // where its speed is one that cuts have and its contact meets a beat
    std::string why_not;             // keep its place; empty: it does
    std::string slipped{};           // how its picture was, so that it can
};

// Of the cut that the problem asks for.
Frame cut_length(const solve::Problem& problem);

// What shown_in_list() finds, told by the log. Errors: another rate than the problem's, more events than the cut has frames.
Result<std::vector<ListedShot>> listed_shots(const Returned& returned);

} // namespace downball::pipeline
