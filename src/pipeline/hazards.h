// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/beat_grid.h"
#include "downball/model/cut_plan.h"
#include "downball/model/shot_log.h"
#include "downball/model/timeline.h"
#include "downball/model/warning.h"

#include <vector>

namespace downball::pipeline {

// What can go wrong with a reel where it is shown or edited, as its timeline alone tells.

// Stretches in which cuts follow one another by less than a third of a second. A broadcaster's guide takes a cut for a
// flash and allows one change per third of a second (TV Tokyo, production guidelines, items 1 and 2). The end of a part
// of a shot is no cut. Stretches less than a second apart are one.
std::vector<Warning> quick_cuts(const Timeline& timeline);

// Contacts whose sound would be noticed to be off: Rec. ITU-R BT.1359-1 gives as thresholds of detectability 45 ms for
// sound that comes early, that is for a picture that comes late, and 125 ms for the other way. As the lists deliver them,
// and for a reader of the EDL that plays the speed of its M2 line.
std::vector<Warning> noticed_sync(const Timeline& timeline, const CutPlan& plan, const BeatGrid& beats,
                                  const ShotLog& log);

// Shots slower than real time in which a picture stands for more than one frame.
std::vector<Warning> stuttering(const Timeline& timeline, const CutPlan& plan, const ShotLog& log);

// Shots whose file itself has fewer spare frames beyond them than trims and dissolves want: 12, or what was asked for
// if that is more (common practice, no source). One warning for all.
inline constexpr int usual_handle_frames = 12;
std::vector<Warning> short_handles(const Timeline& timeline, int asked_frames);

// All of them.
std::vector<Warning> hazards(const Timeline& timeline, const CutPlan& plan, const BeatGrid& beats,
                             const ShotLog& log, int handle_frames);

} // namespace downball::pipeline
