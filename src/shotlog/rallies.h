// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "shotlog/match_sense.h"

#include "downball/model/shot_log.h"

#include <vector>

namespace downball::shotlog {

// Nobody in it is known to be of a team that is not of the match.
bool of_match(const Take& take, const match::Facts& facts, const TeamOf& team_of);

// The scores of a set that the takes of the match have, each once, by growing sums, and which take had each first.
struct KnownScores {
    std::vector<Score> scores;
    std::vector<std::size_t> takes; // as long
};
KnownScores known_scores(const std::vector<Take>& takes, int set, const match::Facts& facts,
                         const TeamOf& team_of);

} // namespace downball::shotlog
