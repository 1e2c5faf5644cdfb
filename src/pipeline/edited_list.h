// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/model/cut_plan.h"
#include "downball/model/limits.h"
#include "downball/model/media_info.h"
#include "downball/read/cut_list.h"
#include "downball/solve/solve.h"

#include <set>
#include <span>
#include <string>
#include <vector>

namespace downball::pipeline {

// A list of ours that comes back from an editor, and what it is understood by.
struct Returned {
    const read::CutList& list;
    const solve::Problem& problem;          // of the next cut
    std::span<const std::string> reels;     // by ShotLog::media, and at the end the song's
    const MediaInfo& song;                  // as the lists call it
    const LastCut* last = nullptr;          // the cut that was edited, if it is known
    std::set<std::string> removed_before{}; // taken out of the cuts before that one
    bool as_before = false; // the last cut was made from this very list: nothing but that counts as taken out
};

// What such a list asks of the next cut.
struct EditedList {
    std::vector<Lock> locks;       // shots that keep their place
    std::set<std::string> removed; // taken out by hand: contacts by id, shots without action by their take
    LastCut cut;                   // what the list shows of this log, to stay near to
    std::vector<std::string> told; // a headline, and a line for each shot that does not keep its place
};

// A shot keeps its place if it may stand there within the limits, judged by the checker: an action by its contact,
// which our markers or what else is in its pictures tell, on a beat. One that may not is in `cut` alone, so that it may
// find another place. Shots of the last cut that the list shows no more count as taken out, unless the two have little in
// common. Record places count from the song's first sample as the list has it; without the song, from the job's start timecode.
// Errors: a list at another rate than the job's, or without a shot of this log.
Result<EditedList> understand(const Returned& returned);

} // namespace downball::pipeline
