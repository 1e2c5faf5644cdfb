// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/match/facts.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace downball::match {

// Who serves each rally of a set, one more than the rallies won: the players take turns in their order as their team
// wins the serve back, and keep it while their team wins. `order`: up to four players, the teams in turn, from the one of
// team `opens` who served first; where it does not reach, the server is empty.
std::vector<std::string> servers(std::span<const std::string> order, Team opens,
                                 std::span<const Team> winners);

// Who won the rallies between two scores of a set, in turn; known if the points of one team alone grew. Nothing else
// is known, nor of scores that fell.
std::optional<std::vector<Team>> winners_between(Score before, Score after);

// Can these scores, by growing sums, be of one set?
bool of_one_set(int set, std::span<const Score> scores);

struct Serve {
    std::optional<Team> team; // nothing = not known
    std::string player;       // empty = not known
};
// Who serves in the rallies that start at `scores`, some of those of a set, which are of_one_set. The team is known where
// the points of one team alone grew since the score before, or since 0-0; the player, where all who won since 0-0 are.
std::vector<Serve> serves(std::span<const std::string> order, std::optional<Team> opens,
                          std::span<const Score> scores);

} // namespace downball::match
