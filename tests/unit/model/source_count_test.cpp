// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/model/source_count.h"

#include "support/catch.h"

using namespace downball;

namespace {

MediaInfo labelled(std::int64_t at, Rate rate) {
    MediaInfo media;
    media.start = StartTimecode{"", {at}, rate, Counting::non_drop};
    return media;
}

} // namespace

TEST_CASE("a file without a label counts from zero") {
    const auto count = count_source(MediaInfo{}, Rate(25));
    CHECK(count.first == Frame{0});
    CHECK(count.phase == Fraction(0));
    CHECK(count.position(2) == Approx(50));
}

TEST_CASE("a label on a list frame has no phase") {
    const auto count = count_source(labelled(90'000, Rate(25)), Rate(25));
    CHECK(count.first == Frame{90'000});
    CHECK(count.phase == Fraction(0));
    CHECK(count_source(labelled(12, Rate(50)), Rate(25)).first == Frame{6});
}

TEST_CASE("a label between two list frames leaves a phase that position and media second undo") {
    const auto half = count_source(labelled(13, Rate(50)), Rate(25));
    CHECK(half.first == Frame{6});
    CHECK(half.phase == Fraction(1, 2));
    CHECK(half.position(1.0) == Approx(25.5));
    CHECK(half.media_s(25.5) == Approx(1.0));
    CHECK(half.from(0) == Frame{1}); // frame 0 lies before the first picture
    CHECK(half.at(1.0) == Frame{25});
    const auto quarter = count_source(labelled(69, Rate(100)), Rate(25));
    CHECK(quarter.first == Frame{17});
    CHECK(quarter.phase == Fraction(1, 4));
    // What an editor does who knows only the label: source frame n lies at (first + n) / 25 of the day.
    for (const int n : {1, 40, 99})
        CHECK(quarter.media_s(n) == Approx((17 + n) / 25.0 - 0.69).margin(1e-12));
}
