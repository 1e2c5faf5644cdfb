// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shotlog/rallies.h"

#include <algorithm>

namespace downball::shotlog {

bool of_match(const Take& take, const match::Facts& facts, const TeamOf& team_of) {
    if (facts.teams.size() != 2) return true;
    return std::ranges::none_of(take.players, [&](const std::string& player) {
        const auto team = team_of.find(player);
        return team != team_of.end() && !team->second.empty() && !match::team_called(facts, team->second);
    });
}

KnownScores known_scores(const std::vector<Take>& takes, int set, const match::Facts& facts,
                         const TeamOf& team_of) {
    std::vector<std::size_t> by_sum;
    for (std::size_t t = 0; t < takes.size(); ++t)
        if (takes[t].set == set && takes[t].score && of_match(takes[t], facts, team_of)) by_sum.push_back(t);
    const auto key = [&](std::size_t t) {
        return std::pair{takes[t].score->a + takes[t].score->b, takes[t].score->a};
    };
    std::ranges::stable_sort(by_sum, {}, key);
    KnownScores known;
    for (const std::size_t t : by_sum) {
        if (!known.takes.empty() && key(known.takes.back()) == key(t)) continue;
        known.takes.push_back(t);
        known.scores.push_back(*takes[t].score);
    }
    return known;
}

} // namespace downball::shotlog
