// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "coverage/words.h"

#include "downball/base/text.h"
#include "downball/match/ends.h"
#include "downball/match/winner.h"

#include <fmt/format.h>

namespace downball::coverage {
namespace {

std::string called(const match::Facts& facts, std::optional<match::Team> team) {
    if (!team) return {};
    const auto name = match::name_of(facts, *team);
    return !name.empty() ? name : *team == match::Team::first ? "the first team" : "the second team";
}

std::string in_points(int points) {
    return fmt::format("in {} point{}", points, points == 1 ? "" : "s");
}

} // namespace

Result<NextChange> next_change(int set, Score score, const match::Facts& facts) {
    if (auto possible = match::check_score(set, score); !possible) return possible.error();
    NextChange next;
    next.set = set;
    next.score = score;
    next.won = called(facts, match::set_winner(set, score));
    if (!next.won.empty()) return next;
    next.of_match = facts.teams.size() == 2;
    next.left = match::left_team(facts, set, score);
    next.set_point = called(facts, match::set_point(set, score));
    const int sum = score.a + score.b;
    next.in_points = match::points_to_change(set, score);
    next.at_sum = sum + next.in_points;
    next.change_now = match::ends_change_at(set, score);
    if (facts.technical_time_out) {
        next.time_out_in_points = match::points_to_time_out(set, score);
        next.time_out_now = match::time_out_at(set, score);
    }
    const Score a{score.a + next.in_points, score.b}, b{score.a, score.b + next.in_points};
    // A side that wins all points till then may have won the set with the last of them, or before.
    next.may_end_before = match::set_over(set, a) || match::set_over(set, b) || !match::check_score(set, a) ||
                          !match::check_score(set, b);
    return next;
}

std::vector<std::string> in_words(const NextChange& next) {
    const std::string at = fmt::format("set {}, {}", next.set, match::to_string(next.score));
    if (!next.won.empty()) return {fmt::format("{}: the set is over, {} won it", at, next.won)};
    std::vector<std::string> parts{fmt::format("{}: change of ends {}, when the sum is {}{}", at,
                                               in_points(next.in_points), next.at_sum,
                                               next.may_end_before ? ", unless the set ends first" : "")};
    std::vector<std::string> more;
    if (next.change_now)
        more.push_back(next.time_out_now ? "ends are changed now, with the technical time-out"
                                         : "ends are changed now");
    if (next.time_out_in_points > 0)
        more.push_back(fmt::format("technical time-out {}{}", in_points(next.time_out_in_points),
                                   next.time_out_in_points == next.in_points ? ", with that change" : ""));
    // The third set's is the match's.
    if (!next.set_point.empty())
        more.push_back(fmt::format("{} point for {}", next.set == 3 ? "match" : "set", next.set_point));
    if (!more.empty()) parts.push_back(join(more, "; "));
    if (!next.left.empty())
        parts.push_back(next.left + " plays from the left end");
    else if (next.of_match)
        parts.push_back(fmt::format(
            "who plays from the left end is not known: `left` of set {} in match.sets of the job tells",
            next.set));
    return parts;
}

} // namespace downball::coverage
