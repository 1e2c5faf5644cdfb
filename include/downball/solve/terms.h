// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/solve/solve.h"

#include <vector>

// The score of a cut: the sum of the soft terms below, each value times its weight in Limits::weights. It is
// a pure function of problem and cut; the solver maximises it and its proven limit bounds it.
//
// Words. A shot *hangs* on an instant: an action on the beat of its first anchor, any other shot on its own
// first frame. Its *span* runs from there to where the next shot hangs (the first from frame 0, the last to
// the end), so spans tile the cut; *share* = span / length. *wanted*(beat) = longest x (shortest /
// longest)^energy, rounded to whole beats, at least one; *unit* = wanted / length is what one cut at that
// beat weighs.
//
// Per shot, value = sum of share x v, so that each is an average over time between 0 and 1:
//   sync        v = 1 - (error / half a frame)^2 of the first anchor; other shots: of the border from its beat
//   accent      v = B x S + (1 - B) / 2; B = strength of the beat, S = of the contact; other shots: S = 1/4
//   confidence  v = confidence of the contact; other shots: the confidence floor
//               these three of a rally: the mean over the contacts held
//   rating      v = (rating - 1) / 4
//   rally       v = (contacts held in a rally on the beat - 1) / 3; other shots: 0
//   pace        v = 0.8 x max(0, 1 - |log2(span / wanted)| / 3) + 0.2 x m; m = 1 - energy for slow motion, else 1/2
//   keep        v = 1 if the last cut hung this shot within half a frame of there and ran it at that speed, 1/2 if it
//               had the shot at all; a rally: held as many contacts, slowed or not as then; shots without
//               contact are told by their take. Weighs nothing without a last cut
// Per cut, value = 1 - sum of unit x c; 1 at best, below 0 only for cuts far quicker than wanted:
//   variety     c = 1 if both shots are from one take; else 0.4 if they share a player + 0.4 if size and angle
//               are known and the same + 0.2 if the camera is known and the same
//   reaction    c = 1 for leaving a moment after an action of it, though the log has a reaction or celebration
//               of that moment; 1 for a reaction that follows another moment's shot; 1/2 if it follows a
//               reaction of its own moment, or an action that hangs on a contact (a rally: ends on one) known to be none
//               of attack, block and dig
//   spread      c = 1 for a shot without action after another such shot; 1/2 for two actions of different
//               sets; (1 - energy) / 2 for an action on the first beat of a section
//   chronology  c = 1 if the incoming shot is earlier in the day or in the order of play, as solve.h counts them
//   side        c = 1 for two actions with different screen sides and no change of ends between
// Over the whole cut, value 0..1 (fresh: below 0 if most shots repeat):
//   story       1/3 opening (establishing 1, cutaway 1/2) + 1/3 ending (celebration 1, reaction 1/2)
//               + 1/3 strength of the contact that hangs, or is held, on the song's arrival
//   coverage    players and skills seen / players and skills that the usable takes can show
//   fresh       1 - (shots that show a take again) / (number of shots at the wanted lengths)
// Order::free: chronology and story weigh nothing. Order::chronological: story weighs nothing; most of
// the order is a hard limit then.
namespace downball::solve {

struct Scored {
    std::vector<TermScore> terms; // in the order above, all of them
    double score = 0;
};

// For a cut that keeps the hard limits; a shot that hangs on no beat counts as hanging on the slot before it.
Scored score(const Problem& problem, const CutPlan& plan);

// Would every anchor of the shot still be within half a record frame of its beat if the shot ran at the speed
// that an EDL's M2 line can say (one decimal)? True at real time.
bool anchors_hold_in_m2(const Problem& problem, const PlannedShot& shot);

} // namespace downball::solve
