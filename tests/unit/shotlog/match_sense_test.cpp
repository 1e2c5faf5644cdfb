// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shotlog/match_sense.h"
#include "support/catch.h"

using namespace downball;
using namespace downball::shotlog;

namespace {

const TeamOf teams{{"A1", "Dune"}, {"A2", "Dune"}, {"B1", "Tide"}, {"B2", "Tide"}, {"C1", "Reef"}};
const match::Facts facts{{"Dune", "Tide"}, {{"Dune", {"A1", "B1", "A2", "B2"}}, {"Dune", {}}, {"Tide", {}}}};

Take take(int line, int set, int a, int b, std::vector<std::string> players = {},
          const std::string& camera = "") {
    Take made;
    made.line = line;
    made.kind = Kind::action;
    made.skills = {Skill::serve, Skill::pass};
    made.set = set;
    made.score = Score{a, b};
    made.players = std::move(players);
    made.camera = camera;
    return made;
}

std::vector<Take> told(std::vector<Take> takes, const match::Facts& of = facts) {
    tell_match(takes, of, teams);
    return takes;
}

std::vector<std::string> notes(const std::vector<Take>& takes, const match::Facts& of = facts) {
    return match_contradictions(told(takes, of), of, teams);
}

} // namespace

TEST_CASE("rows out of order and of several cameras: each take is told its ends and its server") {
    Take reply = take(7, 0, 0, 0);
    reply.score.reset();
    reply.moment = "r3";
    Take second = take(4, 1, 1, 0, {}, "B");
    second.moment = "r3";
    const auto takes = told({take(2, 1, 1, 1), take(3, 1, 1, 0, {}, "A"), second, take(5, 1, 0, 0),
                             take(6, 1, 4, 3), reply, take(8, 2, 4, 3), take(9, 3, 0, 0)});
    CHECK(takes[0].server == "B1");
    CHECK(takes[0].serving == "Tide");
    CHECK(takes[1].server == "A1");
    CHECK(takes[2].server == "A1");
    CHECK(takes[3].server == "A1"); // who opens
    CHECK(takes[0].left == "Dune");
    CHECK(takes[4].left == "Tide"); // after seven points
    CHECK(takes[4].ends == 1);
    CHECK(takes[4].serving.empty()); // 1-1, then 4-3: either may have won the last
    CHECK(takes[5].server == "A1");  // by its moment
    CHECK(takes[5].left == "Dune");
    CHECK(takes[6].left == "Tide");
    CHECK(takes[6].ends == 1); // set 2 began as set 1 did, whatever the guess
    CHECK(takes[7].left == "Tide");
    CHECK(takes[7].ends == 1);
}

TEST_CASE("without facts ends are guessed and nothing else is said") {
    const auto takes = told({take(2, 2, 0, 0, {"A1"}), take(3, 2, 1, 0, {"B1"})}, {});
    CHECK(takes[0].ends == 1);
    CHECK(takes[1].serving.empty());
    CHECK(takes[1].left.empty());
    CHECK(notes({take(2, 2, 0, 0, {"A1"}), take(3, 2, 1, 0, {"B1"})}, {}).empty());
}

TEST_CASE("a serve of who does not serve is told by line, once for all cameras") {
    CHECK(
        notes({take(2, 1, 0, 0, {"A1"}), take(3, 1, 1, 0, {"A1", "B2"}), take(4, 1, 1, 1, {"B1"})}).empty());
    const auto other_team =
        notes({take(2, 1, 0, 0, {"A1"}), take(3, 1, 0, 1, {"A1"}, "A"), take(4, 1, 0, 1, {"A1"}, "B")});
    REQUIRE(other_team.size() == 1);
    CHECK(other_team[0] ==
          "line 3: a serve with A1 at 0-1 in set 1, where by the scores B1 of Tide serves; check players and "
          "score, and `serve` in match.sets of the job");
    const auto other_player = notes({take(2, 1, 0, 1, {"B2"})}); // since 0-0 Tide won alone
    REQUIRE(other_player.size() == 1);
    CHECK_THAT(other_player[0], Catch::Contains("a serve with B2 at 0-1 in set 1, where by the scores B1"));
    // The order is not told for set 2: the team alone is known.
    CHECK(notes({take(2, 2, 3, 3), take(3, 2, 3, 4, {"B2"})}).empty());
    const auto by_team = notes({take(2, 2, 3, 3), take(3, 2, 3, 4, {"A2"})});
    REQUIRE(by_team.size() == 1);
    CHECK(by_team[0] == "line 3: a serve with A2 at 3-4 in set 2, where by the scores Tide serves; check "
                        "players and score");
}

TEST_CASE("of many serves out of turn the first are told, and the others counted") {
    std::vector<Take> takes;
    for (int n = 0; n < 9; ++n) // Dune wins all, so A1 serves on
        takes.push_back(take(2 + n, 1, n, 0, {"B1"}));
    const auto all = notes(takes);
    REQUIRE(all.size() == 4);
    CHECK_THAT(all[2], Catch::StartsWith("line 4: a serve with B1 at 2-0"));
    CHECK(all[3] == "6 more serves are of others than the scores tell, in lines 5, 6, 7, 8, 9, 10; were the "
                    "points entered after the rally?");
    takes.resize(3);
    CHECK(notes(takes).size() == 3);
}

TEST_CASE("what is not known for sure is not told") {
    CHECK(notes({take(2, 1, 3, 3), take(3, 1, 5, 5, {"A1"})}).empty()); // either may serve
    CHECK(notes({take(2, 1, 0, 1, {"guest"})}).empty());                // of no team
    CHECK(notes({take(2, 1, 0, 1, {"C1"})}).empty());                   // another match
    Take no_serve = take(2, 1, 0, 1, {"A1"});
    no_serve.skills = {Skill::pass, Skill::set};
    CHECK(notes({no_serve}).empty());
}

TEST_CASE("scores of two cameras that no set can both have are told, and no server by them") {
    const std::vector<Take> takes{take(2, 1, 3, 4, {"A1"}, "A"), take(3, 1, 4, 3, {"B1"}, "B")};
    const auto all = notes(takes);
    REQUIRE(all.size() == 1);
    CHECK_THAT(
        all[0],
        Catch::StartsWith("line 3, column score: 4-3 in set 1 cannot be of one set with 3-4 in line 2") ||
            Catch::StartsWith("line 2, column score: 3-4 in set 1 cannot be of one set with 4-3 in line 3"));
    CHECK(told(takes)[0].serving.empty());
}

TEST_CASE("sets out of turn, and a third that was never played") {
    const auto back =
        notes({take(2, 2, 0, 0, {}, "A"), take(3, 1, 20, 18, {}, "A"), take(4, 1, 0, 0, {}, "B")});
    REQUIRE(back.size() == 1);
    CHECK_THAT(back[0], Catch::StartsWith("line 3, column set: set 1 comes after set 2 in line 2"));
    CHECK(notes({take(2, 2, 0, 0, {"A1"}, "A"), take(3, 1, 0, 0, {"C1"}, "A")}).empty()); // the next match

    Take won_1 = take(2, 1, 21, 15), won_2 = take(3, 2, 21, 15), lost_2 = take(3, 2, 15, 21);
    for (Take* face : {&won_1, &won_2, &lost_2})
        face->kind = Kind::celebration;
    const auto third = notes({won_1, won_2, take(4, 3, 5, 5)});
    REQUIRE(third.size() == 1);
    CHECK_THAT(third[0],
               Catch::StartsWith("line 4, column set: no set 3 was played, since Dune won sets 1 and 2"));
    CHECK(notes({won_1, lost_2, take(4, 3, 5, 5)}).empty());
    CHECK(notes({won_1, take(4, 3, 5, 5)}).empty()); // set 2 is not known
    CHECK(told({won_1})[0].serving.empty());         // it is over
}
