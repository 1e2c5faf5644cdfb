// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/match/winner.h"

#include "downball/match/ends.h"

#include <array>

namespace downball::match {

std::optional<Team> set_winner(int set, Score score) {
    if (!check_score(set, score) || !set_over(set, score)) return std::nullopt;
    return score.a > score.b ? Team::first : Team::second;
}

std::optional<Team> match_winner(std::span<const Score> sets) {
    std::array<int, 2> won{};
    for (std::size_t n = 0; n < sets.size(); ++n) {
        const auto winner = set_winner(static_cast<int>(n) + 1, sets[n]);
        if (!winner) return std::nullopt;
        if (++won[static_cast<std::size_t>(*winner)] == 2) return winner;
    }
    return std::nullopt;
}

std::optional<Team> set_point(int set, Score score) {
    if (!check_score(set, score) || set_over(set, score)) return std::nullopt;
    // Never both: to win with the next point a team must lead already.
    return set_winner(set, score.a > score.b ? Score{score.a + 1, score.b} : Score{score.a, score.b + 1});
}

} // namespace downball::match
