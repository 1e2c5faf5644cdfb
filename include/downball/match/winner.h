// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/match/facts.h"
#include "downball/model/shot_log.h"

#include <optional>
#include <span>

namespace downball::match {

// Who won a set with these points; nobody while it runs, and nobody by points that no set ends with.
std::optional<Team> set_winner(int set, Score score);

// Who has won two sets, and with them the match, by the points of its sets from the first; nobody while it runs.
std::optional<Team> match_winner(std::span<const Score> sets);

// Whose point the next rally may be that ends the set; nobody's where it takes more than one.
std::optional<Team> set_point(int set, Score score);

} // namespace downball::match
