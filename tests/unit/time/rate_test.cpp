// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/time/rate.h"

using namespace downball;

TEST_CASE("rates are read as whole numbers, decimals and fractions") {
    CHECK(*parse_rate("25") == Rate(25));
    CHECK(*parse_rate("29.97") == Rate(30000, 1001));
    CHECK(*parse_rate("30000/1001") == Rate(30000, 1001));
    CHECK(*parse_rate("12.5") == Rate(25, 2));
    for (const auto* bad : {"", "fast", "0", "-25", "25/0", "0/1", "1001", "24000/", "NaN"}) {
        INFO(bad);
        const auto rate = parse_rate(bad);
        REQUIRE_FALSE(rate);
        CHECK(rate.error().fault == Fault::bad_input);
    }
    CHECK(to_string(Rate(60000, 2002)) == "30000/1001");
}

TEST_CASE("instants round to the nearest frame, ties to the earlier, whichever form they come in") {
    CHECK(nearest_frame(0.5, Rate(25)) == Frame{12});
    CHECK(nearest_frame(Fraction(1, 2), Rate(25)) == Frame{12});
    CHECK(nearest_frame(0.1 + 0.2, Rate(5)) == Frame{1}); // 1.5000000000000002 frames: a tie
    CHECK(nearest_frame(0.52, Rate(25)) == Frame{13});
    CHECK(nearest_frame(-0.02, Rate(25)) == Frame{-1});
    CHECK(frame_at(0.12, Rate(25)) == Frame{3});
    CHECK(frame_at(0.1199, Rate(25)) == Frame{2});
    CHECK(frame_from(0.12, Rate(25)) == Frame{3});
    CHECK(frame_from(0.1201, Rate(25)) == Frame{4});
    CHECK(nearest_sample(1.0, Rate(48000)) == Sample{48000});
}

TEST_CASE("frames to seconds and back again is the identity") {
    for (const Rate rate : {Rate(24000, 1001), Rate(25), Rate(30000, 1001), Rate(60000, 1001), Rate(120)})
        for (std::int64_t n = 0; n < 3'000'000; n += 7919) {
            REQUIRE(nearest_frame(to_seconds(Frame{n}, rate), rate).n == n);
            REQUIRE(nearest_frame(seconds_of(Frame{n}, rate), rate).n == n);
            REQUIRE(frame_at(to_seconds(Frame{n}, rate), rate).n == n);
        }
}

TEST_CASE("frames of one rate are counted in another by their instant") {
    CHECK(convert(Frame{240}, Rate(120), Rate(25)) == Frame{50});
    CHECK(convert(Frame{1}, Rate(50), Rate(25)) == Frame{0}); // a tie goes down
    CHECK(convert(Frame{3}, Rate(50), Rate(25)) == Frame{1});
}

TEST_CASE("ranges are half open") {
    const FrameRange a{{10}, {20}}, b{{20}, {30}};
    CHECK(a.length() == Frame{10});
    CHECK_FALSE(a.overlaps(b));
    CHECK(a.overlaps({{19}, {21}}));
    CHECK(a.contains(Frame{10}));
    CHECK_FALSE(a.contains(Frame{20}));
    CHECK(a.contains(FrameRange{{12}, {20}}));
    CHECK(FrameRange{{5}, {5}}.empty());
}
