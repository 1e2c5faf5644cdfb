// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shotlog/scores.h"
#include "support/catch.h"

using namespace downball;

namespace {

Take take(int line, const std::string& camera, int set, int a, int b, const std::string& moment = "") {
    Take made;
    made.line = line;
    made.kind = Kind::action;
    made.camera = camera;
    made.set = set;
    made.score = Score{a, b};
    made.moment = moment;
    return made;
}

} // namespace

TEST_CASE("scores of one match, two cameras and sets, contradict nothing") {
    Take unsaid;
    unsaid.kind = Kind::action;
    CHECK(shotlog::score_contradictions({take(2, "A", 1, 0, 0), take(3, "B", 1, 5, 5), take(4, "A", 1, 4, 5),
                                         unsaid, take(6, "A", 1, 20, 19), take(7, "A", 2, 0, 0),
                                         take(8, "A", 3, 1, 0), take(9, "A", 1, 0, 0)}) // the next match
              .empty());
    CHECK(shotlog::score_contradictions({}).empty());
}

TEST_CASE("scores that cannot all be true are told by line") {
    auto told = shotlog::score_contradictions({take(2, "A", 1, 12, 9), take(3, "A", 1, 11, 9)});
    REQUIRE(told.size() == 1);
    CHECK_THAT(told[0], Catch::StartsWith("line 3, column score: 11-9 in set 1 comes after 12-9 in line 2"));
    told = shotlog::score_contradictions({take(5, "A", 1, 21, 19)}); // A1.1 of the rules: won by two
    REQUIRE(told.size() == 1);
    CHECK_THAT(told[0], Catch::Contains("no rally begins at 21-19, where set 1 is over"));
    Take face = take(5, "A", 1, 21, 19);
    face.kind = Kind::celebration;
    CHECK(shotlog::score_contradictions({face}).empty());
    told = shotlog::score_contradictions({take(2, "A", 1, 3, 4, "r7"), take(9, "B", 1, 3, 5, "r7")});
    REQUIRE(told.size() == 1);
    CHECK_THAT(told[0], Catch::Contains("moment r7 has set 1, 3-4 in line 2"));
}
