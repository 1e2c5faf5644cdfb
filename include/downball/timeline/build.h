// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/model/beat_grid.h"
#include "downball/model/cut_plan.h"
#include "downball/model/limits.h"
#include "downball/model/shot_log.h"
#include "downball/model/timeline.h"

#include <string>

namespace downball::timeline {

struct Sources {
    const CutPlan& plan;
    const BeatGrid& beats;
    const ShotLog& log;
    const Limits& limits;
    const MediaInfo& song;
};

struct BuildOptions {
    std::string name = "reel";
    bool natural_sound = true;
    int fade_frames = 2;
    int j_cut_frames = 0;         // natural sound of a shot in real time: before its picture,
    int l_cut_frames = 0;         // and after it
    bool reels_from_card = false; // reels that cameras wrote, where they did, before those from file names
    std::string folder;           // absolute; what relative media paths are taken from
};

// One reel a file of the log, used or not, so that another cut calls them the same; the song's last.
std::vector<std::string> reels_of(const ShotLog& log, const MediaInfo& song, bool from_card);

// The cut as events that a list can hold: reels made unique, source ranges in list frames with the files'
// start labels, song and natural sound laid. Where the rounded speed of an M2 line would show other pictures
// than the planned one, the event takes the rounded speed, so that every list shows the same cut; if a
// contact would then leave its beat, it keeps the planned speed and a note says what differs.
// Errors: a source range outside its file, a song that begins after its end, a timecode past 24 h.
Result<Timeline> build(const Sources& sources, const BuildOptions& options);

} // namespace downball::timeline
