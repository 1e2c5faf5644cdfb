// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/match/ends.h"
#include "downball/match/serve.h"
#include "downball/match/winner.h"

#include <random>

using namespace downball;
using namespace downball::match;

namespace {

const std::vector<std::string> order{"A1", "B1", "A2", "B2"};

// A set played to its end: the score at each rally's start, and who won it.
struct Played {
    std::vector<Score> starts;
    std::vector<Team> winners;
    Score final;
};

Played play(int set, std::mt19937& random) {
    Played played;
    Score score;
    while (!set_over(set, score)) {
        played.starts.push_back(score);
        const bool first = random() % 2 == 0;
        played.winners.push_back(first ? Team::first : Team::second);
        ++(first ? score.a : score.b);
    }
    played.final = score;
    return played;
}

} // namespace

TEST_CASE("law: of a set whose every score is known, the servers are those by the winners") {
    std::mt19937 random(5);
    for (int set = 1; set <= 3; ++set)
        for (const Team opens : {Team::first, Team::second}) {
            const Played played = play(set, random);
            const auto by_winners = servers(order, opens, played.winners);
            const auto by_scores = serves(order, opens, played.starts);
            REQUIRE(by_scores.size() == played.starts.size());
            for (std::size_t i = 0; i < by_scores.size(); ++i) {
                CHECK(by_scores[i].player == by_winners[i]);
                CHECK(by_scores[i].team == (i == 0 ? opens : played.winners[i - 1])); // who won has the serve
            }
        }
}

TEST_CASE("law: leaving scores out makes less known, never other things") {
    std::mt19937 random(11);
    int known = 0, unknown = 0;
    for (int n = 0; n < 40; ++n) {
        const Played played = play(1, random);
        const auto all = servers(order, Team::first, played.winners);
        std::vector<Score> some;
        std::vector<std::size_t> which;
        for (std::size_t i = 0; i < played.starts.size(); ++i)
            if (random() % 4 != 0) {
                some.push_back(played.starts[i]);
                which.push_back(i);
            }
        const auto told = serves(order, Team::first, some);
        for (std::size_t k = 0; k < told.size(); ++k) {
            if (told[k].team && which[k] > 0) CHECK(*told[k].team == played.winners[which[k] - 1]);
            if (!told[k].player.empty()) CHECK(told[k].player == all[which[k]]);
            ++(told[k].player.empty() ? unknown : known);
        }
    }
    CHECK(known > 50);
    CHECK(unknown > 50);
}

TEST_CASE("the points of one team alone tell all winners between two scores") {
    CHECK(winners_between({3, 4}, {3, 4}) == std::vector<Team>{});
    CHECK(winners_between({3, 4}, {5, 4}) == std::vector<Team>{Team::first, Team::first});
    CHECK(winners_between({3, 4}, {3, 5}) == std::vector<Team>{Team::second});
    CHECK_FALSE(winners_between({3, 4}, {4, 5}));
    CHECK_FALSE(winners_between({3, 4}, {2, 5}));
}

TEST_CASE("after scores that leave winners open the team is known again, the player not") {
    const std::vector<Score> scores{{0, 0}, {1, 0}, {2, 2}, {2, 3}};
    const auto told = serves(order, Team::first, scores);
    CHECK(told[1].player == "A1");
    CHECK_FALSE(told[2].team);
    CHECK(told[3].team == Team::second);
    CHECK(told[3].player.empty());
    // Nobody says who opened: the team that won has the serve, whose turn it is there is not known.
    CHECK(serves({}, std::nullopt, scores)[1].team == Team::first);
    CHECK_FALSE(serves({}, std::nullopt, scores)[0].team);
    // An order that names the openers alone.
    CHECK(servers(std::vector<std::string>{"A1", "B1"}, Team::first,
                  std::vector<Team>{Team::second, Team::first, Team::second}) ==
          std::vector<std::string>{"A1", "B1", "", ""});
}

TEST_CASE("scores of one set only grow, and end when it is over") {
    CHECK(of_one_set(1, std::vector<Score>{{0, 0}, {3, 4}, {3, 4}, {21, 19}, {21, 19}}));
    CHECK_FALSE(of_one_set(1, std::vector<Score>{{3, 4}, {4, 3}}));
    CHECK_FALSE(of_one_set(1, std::vector<Score>{{21, 19}, {21, 20}}));
    CHECK_FALSE(of_one_set(1, std::vector<Score>{{24, 21}}));
    CHECK(of_one_set(2, {}));
}

TEST_CASE("law: whoever wins the last rally of a set had a set point and wins the set") {
    std::mt19937 random(3);
    for (int n = 0; n < 60; ++n) {
        const int set = 1 + n % 3;
        const Played played = play(set, random);
        CHECK(set_winner(set, played.final) == played.winners.back());
        CHECK(set_point(set, played.starts.back()) == played.winners.back());
        CHECK_FALSE(set_point(set, played.final));
        CHECK_FALSE(set_winner(set, played.starts.back()));
    }
}
