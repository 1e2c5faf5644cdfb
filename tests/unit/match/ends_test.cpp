// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/match/ends.h"

using namespace downball;
using namespace downball::match;

TEST_CASE("law: each point of a set played to its end is possible, and only the last ends it") {
    for (int set = 1; set <= 3; ++set) {
        const int target = set == 3 ? 15 : 21;
        for (int loser = 0; loser <= 2 * target; ++loser) {
            const int winner = std::max(target, loser + 2);
            for (int a = 0, b = 0; a < winner || b < loser;) {
                CHECK(check_score(set, {a, b}));
                CHECK_FALSE(set_over(set, {a, b}));
                // Points fall so that nobody wins early: the later winner stays at most one ahead.
                if (b < loser && b <= a) {
                    ++b;
                } else {
                    ++a;
                }
            }
            CHECK(check_score(set, {winner, loser}));
            CHECK(set_over(set, {winner, loser}));
            CHECK(set_over(set, {loser, winner}));
        }
    }
}

TEST_CASE("law: a change of ends falls only where the points' sum grows onto a multiple") {
    for (int set = 1; set <= 3; ++set) {
        const int step = set == 3 ? 5 : 7;
        for (int a = 0; a < 15; ++a) {
            for (int b = 0; b < 14; ++b) {
                if (set_over(set, {a + 1, b}) || set_over(set, {a, b})) continue;
                const int grown = changes_of_ends(set, {a + 1, b}) - changes_of_ends(set, {a, b});
                CHECK(grown == ((a + 1 + b) % step == 0 ? 1 : 0));
            }
        }
    }
}

TEST_CASE("the complaint about a score names the score the set ended at") {
    CHECK(check_score(1, {24, 21}).error().what == "found 24-21, but set 1 ended at 23-21");
    CHECK(check_score(2, {5, 22}).error().what == "found 5-22, but set 2 ended at 5-21");
    CHECK(check_score(4, {1, 0}).error().what == "found set 4, expected 1, 2 or 3");
    CHECK(check_score(1, {-1, 0}).error().what == "found -1-0, expected points from 0 up");
    CHECK(check_score(1, {-1, 0}).error().fault == Fault::bad_input);
}
