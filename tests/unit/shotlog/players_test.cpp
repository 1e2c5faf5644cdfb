// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/shotlog/log.h"

using namespace downball;
using namespace downball::shotlog;
using Ids = std::vector<std::string>;

namespace {

const std::vector<RosterPlayer> two_teams{{"A1", "Mira Tolvane", "Terns"},
                                          {"A2", "Ylva Sand", "Terns"},
                                          {"B1", "Mira Kjell", "Grey Gulls"},
                                          {"B2", "Jo", "Grey Gulls"}};

Result<Log> log_of(const std::string& players, const std::vector<RosterPlayer>& roster) {
    return read_log("id\tfile\tkind\tplayers\nT1\tc.mp4\taction\t" + players + "\n", "log.csv", roster);
}

Ids players(const std::string& cell, const std::vector<RosterPlayer>& roster = two_teams) {
    const auto log = log_of(cell, roster);
    if (!log) FAIL(to_string(log.error()));
    return log->rows[0].tags.players;
}

std::string complaint(const std::string& cell, const std::vector<RosterPlayer>& roster = two_teams) {
    const auto log = log_of(cell, roster);
    REQUIRE_FALSE(log);
    return log.error().what;
}

} // namespace

TEST_CASE("a player is called by id, by whole name or by a word of it") {
    for (const char* cell : {"A1", "a1", "Tolvane", "TOLVANE", "Mira Tolvane", "mira tolvane",
                             "Mira  Tolvane", "A1 a1", "Mira Tolvane, A1", "Tolvane/Mira Tolvane"})
        CHECK(players(cell) == Ids{"A1"});
    CHECK(players("Jo") == Ids{"B2"});
    CHECK(players("Ylva Mira Kjell Jo") == Ids{"A2", "B1", "B2"});
    CHECK(players("B2, Mira Tolvane; Sand") == Ids{"B2", "A1", "A2"});
}

TEST_CASE("a team stands for its players") {
    CHECK(players("terns") == Ids{"A1", "A2"});
    CHECK(players("Grey Gulls") == Ids{"B1", "B2"});
    CHECK(players("Sand Terns B2") == Ids{"A2", "A1", "B2"});
    CHECK(complaint("Gulls") == "line 2, column players: found \"Gulls\", expected A1, A2, B1 or B2");
}

TEST_CASE("a word that may be several is answered with all of them") {
    CHECK(complaint("Mira") ==
          "line 2, column players: found \"Mira\", which may be A1 (Mira Tolvane) or B1 (Mira "
          "Kjell); write the id");
    CHECK(complaint("Mira, Tolvane").find("found \"Mira\", which may be") != std::string::npos);
    CHECK(
        complaint("Sand", {{"A1", "Ylva Sand", "Terns"}, {"B1", "Jo", "Sand"}}) ==
        "line 2, column players: found \"Sand\", which may be A1 (Ylva Sand) or the team Sand; write the id");
    CHECK(complaint("Jo Ek", {{"A1", "Jo Ek"}, {"B1", "Jo Ek"}}) ==
          "line 2, column players: found \"Jo Ek\", which may be A1 (Jo Ek) or B1 (Jo Ek); write the id");
}

TEST_CASE("an id goes before names and teams") {
    const std::vector<RosterPlayer> roster{{"Jo", "Ylva Sand", "Ek"}, {"Ek", "Jo Ek", "Sand"}};
    CHECK(players("Jo", roster) == Ids{"Jo"});
    CHECK(players("jo ek", roster) == Ids{"Jo", "Ek"});
    CHECK(players("Ek", roster) == Ids{"Ek"});
    CHECK(players("Mira Tolvane", {{"Mira", "Mira Tolvane"}, {"K", "Jo Tolvane"}}) == Ids{"Mira"});
    CHECK(players("a1 A1", {{"A1"}, {"a1"}}) == Ids{"a1", "A1"});
    CHECK(players("x/1, X+2 ;y", {{"X/1"}, {"x"}, {"X+2"}, {"y"}}) == Ids{"X/1", "X+2", "y"});
}

TEST_CASE("accents are letters of their own, and a slip finds names as well") {
    const std::vector<RosterPlayer> roster{{"A1", "Zo\xC3\xAB Ek"}, {"A2", "Zoe Sand"}};
    CHECK(players("Zo\xC3\xAB", roster) == Ids{"A1"});
    CHECK(players("zoe", roster) == Ids{"A2"});
    CHECK(complaint("Tolvanne") ==
          "line 2, column players: found \"Tolvanne\", expected A1, A2, B1 or B2; did you mean Tolvane?");
    CHECK(complaint("Turns").ends_with("did you mean Terns?"));
}

TEST_CASE("all wrong words of a cell are told") {
    const std::string all = complaint("Nobody A1 Mira \xF0\x9F\x8F\x90");
    CHECK(all.find("found \"Nobody\"") != std::string::npos);
    CHECK(all.find("found \"Mira\"") != std::string::npos);
    CHECK(all.find("found \"\xF0\x9F\x8F\x90\"") != std::string::npos);
}
