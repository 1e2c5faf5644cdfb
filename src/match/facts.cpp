// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/match/facts.h"

#include "downball/match/ends.h"

namespace downball::match {
namespace {

// Of the set's start.
int start_parity(const Facts& facts, int set) {
    if (set <= 1) return 0;
    const std::string left = start_of(facts, set).left;
    if (!left.empty())
        for (int before = set - 1; before >= 1; --before)
            if (const auto then = start_of(facts, before).left; !then.empty())
                return (start_parity(facts, before) + (then != left ? 1 : 0)) % 2;
    return (start_parity(facts, set - 1) + 1) % 2;
}

} // namespace

Team other(Team team) {
    return team == Team::first ? Team::second : Team::first;
}

std::optional<Team> team_called(const Facts& facts, const std::string& name) {
    if (facts.teams.size() != 2) return std::nullopt;
    if (name == facts.teams[0]) return Team::first;
    if (name == facts.teams[1]) return Team::second;
    return std::nullopt;
}

std::string name_of(const Facts& facts, Team team) {
    return facts.teams.size() == 2 ? facts.teams[static_cast<std::size_t>(team)] : std::string();
}

SetStart start_of(const Facts& facts, int set) {
    const auto n = static_cast<std::size_t>(set);
    return set >= 1 && n <= facts.sets.size() ? facts.sets[n - 1] : SetStart{};
}

std::string left_team(const Facts& facts, int set, Score score) {
    const std::string left = start_of(facts, set).left;
    if (left.empty() || changes_of_ends(set, score) % 2 == 0) return left;
    const auto began = team_called(facts, left);
    return began ? name_of(facts, other(*began)) : std::string();
}

int ends_parity(const Facts& facts, int set, Score score) {
    return (start_parity(facts, set) + changes_of_ends(set, score)) % 2;
}

} // namespace downball::match
