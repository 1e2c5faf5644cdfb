// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/long_work.h"
#include "downball/model/beat_grid.h"
#include "downball/model/cut_plan.h"
#include "downball/model/limits.h"
#include "downball/model/shot_log.h"

#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace downball::solve {

struct Problem {
    const BeatGrid& beats;
    const ShotLog& log;
    const Limits& limits;
    double song_start_s = 0;
    const LastCut* last = nullptr; // the cut to stay near to, if there is one; outlives the problem
};

// The hard limits, beside those whose names say all (R = list rate; seconds of pacing become frames: shortest
// and tail rounded up, longest down, lead-in to the nearest):
// - A beat's record frame is the nearest to (beat - song start) x R, ties to the earlier. A shot of an action
//   begins lead_in ahead of the beat of its first anchor (the opening shot, at 0, so long or longer) and runs on for the tail after its last. Any other
//   shot begins at the record frame of a beat, half beat or downbeat (cut_on; bars not known: any beat); the
//   first begins at 0, whatever it is. Shots without action last shortest_cutaway at least, slow motion
//   shortest_slow, if that is more than `shortest`; neither asks for more than `longest`. An action that is
//   not known to be wide ends at most tail_max after the last usable contact it shows (at most the tail, if
//   that is longer). Length = the smaller of length_s and the rest of the song, rounded down.
// - Speed 1, or for actions in files of at least 1.9 x R every picture once: R / file rate, if that is not
//   below `slowest` (to three decimals). A slowed shot's lead-in may be up to ceil(1/speed) - 1 frames over the
//   least where the range is narrower. Takes conformed by the camera (capture_fps) count as slow motion.
// - An action may also hold a rally: two to rally.contacts_max successive usable contacts of its take, each on a beat
//   of the cut. With B(i) the record frame of the i-th one's beat and S(i) the whole source frame nearest to
//   contact - (beat - B(i)), ties to the later: the shot shows S(i) at B(i), runs in real time before the first and
//   after the last, and between two at (S(i+1) - S(i)) / (B(i+1) - B(i)). Of the beats after the one before, each
//   contact takes the one that makes this speed nearest to 1 as a ratio, within slowest..fastest, ties to the earlier;
//   or, in files of at least 1.9 x R and all along the shot, the earliest that makes it lower than `slowest`,
//   not lower than variety.slowest and every picture once. The tail counts from the last contact held, all of them are
//   within half a record frame, the shot hangs, and is named, by the first, and begins before that. Where limits
//   compare speeds (lead-in, replays) it counts as real time; PlannedShot::speed tells its slowest stretch.
// - A shot takes up the source frames [source_in, source_in + ceil(record length x speed)), inside its take
//   less the handles (a rally: up to its last stretch's end); no two shots of one file share any. A contact hangs one
//   shot at most, and none that is held in a rally.
// - Two takes of one moment show the same contact if they show contacts of one number (Impact::event); or, where
//   a usable contact of the moment has none, the same skill's n-th contact, counted within each take. If the skill
//   of any of them is not known either, any two contacts of different takes of it count as the same. Such a pair stands only with `replays`, and then at another camera, angle
//   or speed. A shot shows the usable contacts that lie in its source range.
// - Order::chronological: no shot comes after one that was taken later in the day (Take::order); all takes of
//   a moment that may be used count as taken with the first of them. Without `replays`,
//   actions of one moment come in the order of play of the contacts they hang on: in one take by their
//   instants, in two by their numbers, or else by the place of the same contact in the take of that moment with
//   most usable contacts (the first such), if the moment's contacts are all known and both are in it.
// - Of the shots of this cut, at most shared_share_max stand in each other cut that is named: actions whose contact is
//   among its contacts, other shots whose take is among its takes.
// - A contact that is banned hangs no shot, nor is it held in a rally; it may be shown.
// - No action of a moment comes after a reaction or celebration of that moment.
// - A player is counted in every shot of a take that lists them; a skill in actions whose first anchor, or any contact
//   held in a rally, has it, or, where that is not known, whose take lists it. Sound takes are never shown.

// The best cut found, with a proven limit on what any cut could score; or limits that cannot be met
// together. The same problem gives the same answer, bit for bit. A stop gives the best cut so far, or, before
// there is one, a Conflict that is not proven and says so.
using Outcome = std::variant<CutPlan, Conflict>;
Outcome solve(const Problem& problem, const LongWork& work = {});

// Judges a cut against every hard limit, from the problem alone: shares nothing with the solver but the
// values. One sentence a breach; empty = the cut keeps all limits.
std::vector<std::string> check(const Problem& problem, const CutPlan& plan);

// Judges shots that need not be a whole cut, in record order: by shot, the limits that it breaks by itself, and those
// that it breaks together with one before it. Where a shot is `open`, its end is not settled: it may be too short yet.
std::vector<std::vector<std::string>> check_each(const Problem& problem, const CutPlan& shots,
                                                 const std::vector<bool>& open);

} // namespace downball::solve
