// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/pick.h"
#include "support/catch.h"

using namespace downball::impacts;

TEST_CASE("hits nearer than the gap are one, at the first instant that is believable") {
    const auto merged = merge_close({{1.000, 0.8, 1}, {1.050, 0.9, 2}, {2, 0.7, 1}}, 0.08);
    REQUIRE(merged.size() == 2);
    CHECK(merged[0].seconds == 1.000);
    CHECK(merged[0].confidence == 0.9);
    CHECK(merged[1].seconds == 2);
}

TEST_CASE("a doubtful sound just before does not take a sure contact's place") {
    const auto merged = merge_close({{1.000, 0.2, 1}, {1.050, 0.9, 2}}, 0.08);
    REQUIRE(merged.size() == 1);
    CHECK(merged[0].seconds == 1.050);
}

TEST_CASE("from the gap on, two are two") {
    CHECK(merge_close({{1, 0.9, 1}, {1.081, 0.9, 1}}, 0.08).size() == 2);
    CHECK(merge_close({}, 0.08).empty());
}
