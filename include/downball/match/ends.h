// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/model/shot_log.h"

#include <optional>
#include <string>
#include <string_view>

namespace downball::match {

// "12-9", with ':' or a dash between as well.
std::optional<Score> parse_score(std::string_view cell);
std::string to_string(Score score); // "12-9"

// Rules of beach volleyball as facts, sets counted from 1: sets 1 and 2 to 21, the third to 15, by two
// points; teams change ends when the points' sum is a multiple of 7 (set 3: 5). Errors name an impossible
// score.
Result<void> check_score(int set, Score score);
bool set_over(int set, Score score);

// Changes of ends inside the set before the rally that starts at `score`: floor(sum / 7), or / 5; the change
// that would fall on the set's last point does not happen.
int changes_of_ends(int set, Score score);
// Points until the next one, from 1; of a set that is not over. The set may end before.
int points_to_change(int set, Score score);

// Do the teams change ends before the rally that starts at `score`? Not in a set that is over.
bool ends_change_at(int set, Score score);

// Points until the technical time-out of sets 1 and 2, at a sum of 21; 0 where none is to come. The set may end
// before, or on that very point. In the 2016 rules, and not in all events since: ask Facts::technical_time_out.
int points_to_time_out(int set, Score score);
bool time_out_at(int set, Score score); // before the rally that starts at `score`

} // namespace downball::match
