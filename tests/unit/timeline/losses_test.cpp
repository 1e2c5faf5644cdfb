// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "timeline/losses.h"
#include "unit/timeline/small_day.h"

using namespace downball;
using test::SmallDay;

TEST_CASE("OTIO rule 20: what an editor that ignores speed changes loses is said") {
    SmallDay day;
    day.shot(0, 50, 48, Fraction(1, 5)).anchors = {{0, 0, 0}}; // contact 2 list frames in, at record frame 10
    day.shot(0, 50, 240, Fraction(1, 5));
    day.shot(0, 10, 0, Fraction(24, 25));
    const auto timeline = day.build();
    CHECK(test::any_note(*timeline, ", its contact then comes 8.0 frames early"));
    CHECK(test::any_note(
        *timeline, "shot T1@1: an editor that ignores speed changes plays it at real speed, and runs past "
                   "the end of the file"));
    CHECK(test::any_note(*timeline, "T1@2: source and record are equally long"));
}

TEST_CASE("a cut at real speed loses nothing") {
    SmallDay day;
    day.shot(0, 50, 48).anchors = {{0, 0, 0}};
    CHECK(timeline::losses(*day.build()).empty());
}
