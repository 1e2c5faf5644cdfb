// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/start_label.h"
#include "support/catch.h"

using namespace downball;
using namespace downball::media;

// Frame numbers from the worked table of drop-frame labels (SMPTE ST 12-1 counting; published test values of
// OpenTimelineIO for 10:03:00;05).
TEST_CASE("a drop-frame label counts as drop frame, with ';' and with '.'") {
    for (const auto* label : {"10:03:00;05", "10:03:00.05"}) {
        const auto start = read_start_label(label, Rate(30000, 1001));
        REQUIRE(start);
        CHECK(start->counting == Counting::drop);
        CHECK(start->at.n == 1084319);
        CHECK(start->label == label);
    }
}

TEST_CASE("the same label with ':' is not drop frame") {
    const auto start = read_start_label("01:00:00:00", Rate(30000, 1001));
    REQUIRE(start);
    CHECK(start->counting == Counting::non_drop);
    CHECK(start->at.n == 108000);
}

TEST_CASE("';' at a rate without drop frame is a matter of spelling") {
    const auto start = read_start_label("01:00:00;10", Rate(25));
    REQUIRE(start);
    CHECK(start->counting == Counting::non_drop);
    CHECK(start->at.n == 90010);
}

TEST_CASE("high-speed labels are counted straight, also with three frame digits") {
    CHECK(read_start_label("00:00:01:119", Rate(120))->at.n == 239);
    CHECK(read_start_label("00:00:01:99", Rate(100))->at.n == 199);
    CHECK(read_start_label("01:00:00;00", Rate(120000, 1001))->at.n == 432000);
    CHECK(read_start_label("01:00:00;00", Rate(120000, 1001))->counting == Counting::non_drop);
    CHECK_FALSE(read_start_label("00:00:01:120", Rate(120)));
}

TEST_CASE("labels that name no frame give no start") {
    for (const auto* label : {"", "01:02:03", "00:01:00;00", "25:00:00:00", "aa:bb:cc:dd", "00:00:00:30",
                              "00:60:00:00", "00:00:00:00:00"})
        CHECK_FALSE(read_start_label(label, Rate(30000, 1001)));
    for (const auto* label : {"", "00:00:01", "00:00:01:", "00:00:00:0000", "00:00:60:00", "0x:00:00:00"})
        CHECK_FALSE(read_start_label(label, Rate(120)));
}
