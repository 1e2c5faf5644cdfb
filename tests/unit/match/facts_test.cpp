// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/match/ends.h"
#include "downball/match/facts.h"

using namespace downball;
using namespace downball::match;

TEST_CASE("the team on the left changes with each change of ends") {
    const Facts facts{{"Dune", "Tide"}, {{"Tide", {}}, {}}};
    CHECK(left_team(facts, 1, {0, 0}) == "Tide");
    CHECK(left_team(facts, 1, {3, 3}) == "Tide");
    CHECK(left_team(facts, 1, {4, 3}) == "Dune");
    CHECK(left_team(facts, 1, {7, 7}) == "Tide");
    CHECK(left_team(facts, 2, {0, 0}).empty()); // not told
    CHECK(left_team(facts, 3, {0, 0}).empty());
    const Facts unnamed{{}, {{"Tide", {}}}};
    CHECK(left_team(unnamed, 1, {2, 1}) == "Tide");
    CHECK(left_team(unnamed, 1, {4, 3}).empty()); // the other team has no name
}

TEST_CASE("ends are compared by how the sets began, or guessed where that is not told") {
    const auto parity = [](const char* left_1, const char* left_2, const char* left_3, int set, Score score) {
        return ends_parity({{"Dune", "Tide"}, {{left_1, {}}, {left_2, {}}, {left_3, {}}}}, set, score);
    };
    CHECK(ends_parity({}, 1, {0, 0}) == 0);
    CHECK(ends_parity({}, 2, {0, 0}) == 1); // a guess
    CHECK(ends_parity({}, 3, {0, 0}) == 0);
    CHECK(parity("Dune", "Dune", "", 2, {0, 0}) == 0);
    CHECK(parity("Dune", "Tide", "", 2, {0, 0}) == 1);
    CHECK(parity("Dune", "Dune", "", 3, {0, 0}) == 1); // a guess from set 2, which is known
    CHECK(parity("Dune", "", "Tide", 3, {0, 0}) == 1);
    CHECK(parity("Dune", "", "Dune", 3, {0, 0}) == 0);
    CHECK(parity("", "Dune", "Dune", 3, {0, 0}) == parity("", "Dune", "Dune", 2, {0, 0}));
    CHECK(parity("", "Dune", "Tide", 3, {3, 2}) == parity("", "Dune", "Tide", 2, {0, 0}));
}

TEST_CASE("law: two takes have one parity exactly when one team is on the left in both") {
    for (const char* second : {"Dune", "Tide"})
        for (const char* third : {"Dune", "Tide"}) {
            const Facts facts{{"Dune", "Tide"}, {{"Dune", {}}, {second, {}}, {third, {}}}};
            for (int set = 1; set <= 3; ++set)
                for (int sum = 0; sum < 28; ++sum) {
                    const Score score{sum / 2, sum - sum / 2};
                    CHECK((ends_parity(facts, set, score) == 0) == (left_team(facts, set, score) == "Dune"));
                }
        }
}

TEST_CASE("teams by their names") {
    const Facts facts{{"Dune", "Tide"}, {}};
    CHECK(team_called(facts, "Tide") == Team::second);
    CHECK_FALSE(team_called(facts, "Reef"));
    CHECK_FALSE(team_called({}, "Tide"));
    CHECK(name_of(facts, other(Team::second)) == "Dune");
    CHECK(name_of({}, Team::first).empty());
}
