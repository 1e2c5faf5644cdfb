// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later

// Scoring: "Fundamentals" of beach volleyball as published by the FIVB. Changes of ends at each 7 (5 in the
// third set) points: the 2016 FIVB event rule page and two national federations' pages. The number of changes
// in a finished set follows from both: floor((sum - 1) / n), as the last point ends the set.
#include "support/catch.h"

#include "downball/match/ends.h"

using namespace downball;
using namespace downball::match;

TEST_CASE("sets end as the rules say") {
    for (const int set : {1, 2}) {
        for (const Score final : {Score{21, 19}, Score{22, 20}, Score{23, 21}, Score{26, 24}, Score{21, 0}})
            CHECK(set_over(set, final));
        CHECK_FALSE(set_over(set, {21, 20}));
        CHECK_FALSE(set_over(set, {20, 18}));
    }
    CHECK(set_over(3, {15, 13}));
    CHECK(set_over(3, {17, 15}));
    CHECK_FALSE(set_over(3, {15, 14}));
}

TEST_CASE("scores that no set can reach are refused") {
    CHECK_FALSE(check_score(1, {24, 21}));
    CHECK_FALSE(check_score(2, {23, 19}));
    CHECK_FALSE(check_score(3, {16, 13}));
    CHECK(check_score(1, {21, 20}));
    CHECK(check_score(3, {15, 14}));
}

TEST_CASE("teams change ends at sums of 7, in the third set of 5") {
    const auto changed_at = [](int set, Score now, Score before) {
        return changes_of_ends(set, now) - changes_of_ends(set, before) == 1;
    };
    CHECK(changed_at(1, {4, 3}, {3, 3}));
    CHECK(changed_at(2, {10, 11}, {10, 10}));
    CHECK_FALSE(changed_at(1, {10, 10}, {10, 9}));
    CHECK(changed_at(3, {8, 7}, {7, 7}));
}

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
        INFO("set " << set << ", " << final.a << "-" << final.b);
        CHECK(changes_of_ends(set, final) == changes);
    }
}
