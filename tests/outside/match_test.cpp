// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later

// The rules of beach volleyball, with where each was read. "Fundamentals": of beach volleyball, as published by the
// FIVB. "2016 page": the FIVB's page of event rules of 2016; two national federations' pages say the same of
// the changes of ends. Clauses without a page are from memory.
#include "support/catch.h"

#include "downball/match/ends.h"
#include "downball/match/serve.h"
#include "downball/match/winner.h"

using namespace downball;
using namespace downball::match;

namespace {

struct Told {
    int set;
    Score score;
};

std::string spelled(const Told& told) {
    return "set " + std::to_string(told.set) + ", " + std::to_string(told.score.a) + "-" +
           std::to_string(told.score.b);
}

} // namespace

// Fundamentals: rally points, sets 1 and 2 to 21, the third to 15, by two points without a cap, best of three.
// Clauses 6.2 and 6.3, from memory.
TEST_CASE("sets end as the rules say") {
    for (const Told& told : {Told{1, {21, 19}}, Told{1, {22, 20}}, Told{2, {23, 21}}, Told{2, {26, 24}},
                             Told{1, {21, 0}}, Told{3, {15, 13}}, Told{3, {17, 15}}}) {
        INFO(spelled(told));
        const auto& [set, score] = told;
        CHECK(set_over(set, score));
        CHECK(set_winner(set, score) == Team::first);
        CHECK(set_winner(set, {score.b, score.a}) == Team::second);
    }
    for (const Told& told : {Told{1, {21, 20}}, Told{2, {20, 18}}, Told{3, {15, 14}}}) {
        INFO(spelled(told));
        CHECK_FALSE(set_over(told.set, told.score));
        CHECK_FALSE(set_winner(told.set, told.score));
        CHECK(check_score(told.set, told.score));
    }
}

TEST_CASE("scores that no set can reach are refused") { // from the same
    for (const Told& told : {Told{1, {24, 21}}, Told{2, {23, 19}}, Told{3, {16, 13}}}) {
        INFO(spelled(told));
        CHECK_FALSE(check_score(told.set, told.score));
        CHECK_FALSE(set_winner(told.set, told.score));
    }
}

TEST_CASE("a match is won with the second set") { // best of three: from the same
    struct Row {
        std::vector<Score> sets;
        std::optional<Team> winner;
    };
    for (const auto& [sets, winner] :
         {Row{{}, std::nullopt}, Row{{{21, 17}}, std::nullopt}, Row{{{21, 17}, {20, 19}}, std::nullopt},
          Row{{{21, 17}, {22, 20}}, Team::first}, Row{{{19, 21}, {15, 21}}, Team::second},
          Row{{{21, 17}, {19, 21}}, std::nullopt}, Row{{{21, 17}, {19, 21}, {15, 14}}, std::nullopt},
          Row{{{21, 17}, {19, 21}, {15, 17}}, Team::second}}) {
        INFO(sets.size() << " sets");
        CHECK(match_winner(sets) == winner);
    }
}

// Clause 6.1.3, as the rule-modification table of the 2014 congress prints it: a completed rally is one point.
TEST_CASE("a set has as many rallies as both teams have points") {
    const auto winners = winners_between({0, 17}, {21, 17});
    REQUIRE(winners);
    CHECK(winners->size() + 17 == 38); // 21-17: 38 rallies, of which the first 17 were the other team's
    CHECK(servers({}, Team::first, std::vector<Team>(38, Team::first)).size() ==
          39); // and the one that never came
}

// 2016 page; clause 18.2, from memory.
TEST_CASE("teams change ends at sums of 7, in the third set of 5") {
    for (int set = 1; set <= 3; ++set)
        for (int sum = 1; sum <= 35; ++sum) {
            const Score now{(sum + 1) / 2, sum / 2}, before{sum / 2, sum / 2 - (sum % 2 ? 0 : 1)};
            INFO(spelled({set, now}));
            const bool falls = changes_of_ends(set, now) - changes_of_ends(set, before) == 1;
            const int of = set == 3 ? 5 : 7;
            CHECK(falls == (sum % of == 0));
            CHECK((points_to_change(set, before) == 1) == falls);
            if (!set_over(set, now)) CHECK(ends_change_at(set, now) == falls);
        }
    const auto changed_at = [](int set, Score now, Score before) {
        return changes_of_ends(set, now) - changes_of_ends(set, before) == 1;
    };
    CHECK(changed_at(1, {4, 3}, {3, 3}));
    CHECK(changed_at(2, {10, 11}, {10, 10}));
    CHECK_FALSE(changed_at(1, {10, 10}, {10, 9}));
    CHECK(changed_at(3, {8, 7}, {7, 7}));
}

// Follows from the two: floor((sum - 1) / n), as the last point ends the set.
TEST_CASE("changes of ends in a finished set") {
    struct Row {
        int set;
        Score final;
        int changes;
    };
    for (const auto& [set, final, changes] :
         {Row{1, {21, 0}, 2}, Row{1, {21, 10}, 4}, Row{2, {21, 14}, 4}, Row{1, {21, 15}, 5},
          Row{1, {21, 19}, 5}, Row{2, {22, 20}, 5}, Row{1, {26, 24}, 7}, Row{3, {15, 10}, 4},
          Row{3, {15, 13}, 5}, Row{3, {17, 15}, 6}}) {
        INFO(spelled({set, final}));
        CHECK(changes_of_ends(set, final) == changes);
    }
}

// 2016 page; clause 15.4, from memory. It falls on the third change of ends.
TEST_CASE("the technical time-out falls at a sum of 21, in sets 1 and 2") {
    for (const Told& told : {Told{1, {11, 10}}, Told{2, {12, 9}}, Told{1, {18, 3}}}) {
        INFO(spelled(told));
        const auto& [set, score] = told;
        CHECK(points_to_time_out(set, {score.a - 1, score.b}) == 1);
        CHECK(points_to_change(set, {score.a - 1, score.b}) == 1);
        CHECK(points_to_time_out(set, score) == 0);
        CHECK(time_out_at(set, score));
        CHECK_FALSE(time_out_at(set, {score.a - 1, score.b}));
        CHECK(changes_of_ends(set, score) == 3);
    }
    CHECK(points_to_time_out(1, {0, 0}) == 21);
    CHECK(points_to_time_out(3, {10, 10}) == 0);
    CHECK_FALSE(time_out_at(3, {11, 10}));
    // 21-0 ends the set on that very point, so neither is held.
    CHECK(changes_of_ends(1, {21, 0}) == 2);
    CHECK_FALSE(ends_change_at(1, {21, 0}));
    CHECK_FALSE(time_out_at(1, {21, 0}));
    CHECK(set_over(1, {21, 0}));
}

// Fundamentals: the players of a team take turns each time it wins the serve back; clause 12.2, from memory.
// The example follows from it.
TEST_CASE("the server changes when a team wins the serve back") {
    using enum Team;
    const std::vector<std::string> order{"A1", "B1", "A2", "B2"};
    CHECK(servers(order, first, std::vector<Team>{first, first, second, second, first, second}) ==
          std::vector<std::string>{"A1", "A1", "A1", "B1", "B1", "A2", "B2"});
    // The same told by the scores at which the rallies began.
    std::vector<std::string> told;
    for (const auto& serve :
         serves(order, first, std::vector<Score>{{0, 0}, {1, 0}, {2, 0}, {2, 1}, {2, 2}, {3, 2}, {3, 3}}))
        told.push_back(serve.player);
    CHECK(told == std::vector<std::string>{"A1", "A1", "A1", "B1", "B1", "A2", "B2"});
    // And after four side-outs the first again.
    CHECK(servers(order, first, std::vector<Team>{second, first, second, first}).back() == "A1");
}
