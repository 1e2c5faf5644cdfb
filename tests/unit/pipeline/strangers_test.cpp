// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/strangers.h"
#include "support/catch.h"

using namespace downball;
using Lines = std::vector<std::string>;

TEST_CASE("a quota for a player whom no row has names the nearest of the log") {
    ShotLog log;
    log.takes.resize(2);
    log.takes[0].players = {"Anna", "Mara"};
    log.takes[1].players = {"Mara"};
    Variety variety;
    variety.players["Mara"].at_least = 1;
    CHECK(pipeline::strangers(variety, log).empty());
    variety.players["Marra"].at_least = 1;
    variety.players["Quirin"].at_most = 1;
    CHECK(pipeline::strangers(variety, log) ==
          Lines{"no row of the log has the player Marra of variety.players; did you mean Mara?",
                "no row of the log has the player Quirin of variety.players; the log has Anna, Mara"});
    CHECK(pipeline::strangers(variety, {}).back() ==
          "no row of the log has the player Quirin of variety.players; the column players is empty");
}
