// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/shot_log.h"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

// What must be known of a match beside its scores, and what both tell together. Sets count from 1.
namespace downball::match {

enum class Team { first, second }; // whose points stand first in a score, whose second
Team other(Team team);

// How a set began; what is not said stays empty.
struct SetStart {
    std::string left;               // team that began at the end on the left
    std::vector<std::string> serve; // players in the order of their serves, from the one who opened the set
};

struct Facts {
    std::vector<std::string> teams; // none, or two: whose points stand first in a score, whose second
    std::vector<SetStart> sets;     // from the first; at most three
    bool technical_time_out = true; // one in sets 1 and 2, at a sum of 21; some events hold none
};

// Nothing where the teams are not named, or none is called so.
std::optional<Team> team_called(const Facts& facts, const std::string& name);
std::string name_of(const Facts& facts, Team team); // empty where the teams are not named

// The set's start, with nothing said where the facts say nothing.
SetStart start_of(const Facts& facts, int set);

// Which team plays from the left end in the rally that starts at `score`; empty where the set's start or the
// other team is not known. Of a set that is over: in its last rally.
std::string left_team(const Facts& facts, int set, Score score);

// 0 or 1: do the teams play from the ends of the first set's start, or from the others? A set whose start is not
// told is taken to begin the other way round than the one before. That is a guess, since a choice is made anew before
// each set: FIVB rules, clause 7.1, from memory.
int ends_parity(const Facts& facts, int set, Score score);

} // namespace downball::match
