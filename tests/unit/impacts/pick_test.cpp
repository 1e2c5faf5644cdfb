// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/pick.h"
#include "support/catch.h"

using namespace downball::impacts;

TEST_CASE("hits nearer than the gap are one, at the first instant that is believable") {
    const auto merged = merge_close({{1.000, 1.4, 1}, {1.050, 2.2, 2}, {2, 0.8, 1}}, 0.08);
    REQUIRE(merged.size() == 2);
    CHECK(merged[0].seconds == 1.000);
    CHECK(merged[0].log_odds == 2.2);
    CHECK(merged[0].level == 2);
    CHECK(merged[1].seconds == 2);
}

TEST_CASE("a doubtful sound just before does not take a sure contact's place") {
    const auto merged = merge_close({{1.000, -1.4, 1}, {1.050, 2.2, 2}}, 0.08);
    REQUIRE(merged.size() == 1);
    CHECK(merged[0].seconds == 1.050);
}

TEST_CASE("no two contacts are nearer than the gap, however many hits follow each other") {
    const auto merged = merge_close({{1.00, 1, 1}, {1.07, 1.2, 1}, {1.14, 2, 1}}, 0.08);
    REQUIRE(merged.size() == 1);
    CHECK(merged[0].seconds == 1.07);
}

// An attack and its block are up to 76 ms apart (facts of the trade A2.11); two players' contacts are 148 ms
// and more apart (A2.12).
TEST_CASE("from the gap on, two are two") {
    CHECK(merge_close({{1, 2, 1}, {1.076, 2, 1}}, 0.08).size() == 1);
    CHECK(merge_close({{1, 2, 1}, {1.081, 2, 1}}, 0.08).size() == 2);
    CHECK(merge_close({}, 0.08).empty());
}
