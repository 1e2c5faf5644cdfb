// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/match/facts.h"
#include "downball/model/shot_log.h"

#include <map>
#include <string>
#include <vector>

namespace downball::shotlog {

using TeamOf = std::map<std::string, std::string>; // by player

// Fills ends, left, serving and server of the takes, in the order of the log. Takes without a score have that of the first
// take of their moment that has one. With `facts.teams` the log's takes are of one match, save those with a player of
// another team. Scores of a set that cannot all be true tell no server.
void tell_match(std::vector<Take>& takes, const match::Facts& facts, const TeamOf& team_of);

// What cannot be so by the rules, after tell_match, a note each; none without `facts.teams`: scores of two cameras that are
// not of one set, sets out of turn, a third set after two won by one team, and players who serve when others do.
std::vector<std::string> match_contradictions(const std::vector<Take>& takes, const match::Facts& facts,
                                              const TeamOf& team_of);

} // namespace downball::shotlog
