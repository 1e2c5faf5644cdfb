// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "timeline/pictures.h"

using namespace downball;
using namespace downball::timeline;

TEST_CASE("one speed shows one run of pictures") {
    CHECK_FALSE(first_difference({Fraction(0), Frame{1000}, Rate(25)}, {}, Fraction(1, 4), Fraction(1, 4)));
}

TEST_CASE("100 pictures a second in a list of 25: 6.2 and 6.25 part at record frame 62") {
    // Picture k + 1/2 at 1/4, 0.992 k + 0.496 at 31/125: the same whole number as long as 0.008 k + 0.004 <
    // 0.5.
    const FrameTable frames{Rate(100), {}};
    CHECK_FALSE(
        first_difference({Fraction(10), Frame{62}, Rate(25)}, frames, Fraction(1, 4), Fraction(31, 125)));
    CHECK(first_difference({Fraction(10), Frame{63}, Rate(25)}, frames, Fraction(1, 4), Fraction(31, 125)) ==
          Frame{62});
}

TEST_CASE("where a container rounds the times of pictures, what it leaves open counts as a difference") {
    // Times of 30000/1001 in milliseconds, as Matroska has them: picture 1 at 33 instead of 33.37 ms. The first record
    // frame of a list of 25 is asked for at 20 ms x speed: 33.2 and 33.1 ms lie before picture 1 by the rate alone.
    FrameTable frames{Rate(30000, 1001), {}};
    const Showing shot{Fraction(0), Frame{1}, Rate(25)};
    CHECK_FALSE(first_difference(shot, frames, Fraction(166, 100), Fraction(1655, 1000)));
    frames.off_s = 0.0005;
    CHECK(first_difference(shot, frames, Fraction(166, 100), Fraction(1655, 1000)) == Frame{0});
    CHECK_FALSE(first_difference(shot, frames, Fraction(160, 100), Fraction(161, 100)));
}

TEST_CASE("a start label between two list frames moves where the pictures change") {
    const FrameTable frames{Rate(50), {}};
    // Picture times 0.02 k; the first record frame is asked for at 0.02 + 0.01 x speed less the phase.
    CHECK(first_difference({Fraction(1, 2), Frame{1}, Rate(25)}, frames, Fraction(1), Fraction(24, 25)) ==
          Frame{0});
    CHECK_FALSE(
        first_difference({Fraction(1), Frame{1}, Rate(25)}, frames, Fraction(9, 10), Fraction(8, 10)));
}

TEST_CASE("unknown frame times differ at once; listed ones are looked up") {
    const Showing shot{Fraction(0), Frame{10}, Rate(25)};
    CHECK(first_difference(shot, {}, Fraction(1, 4), Fraction(31, 125)) == Frame{0});
    const FrameTable two{{}, {0, 0.0945}}; // 9.5 x 0.01 = 0.095 s at 1/4, 9.5 x 0.00992 = 0.09424 s at 31/125
    CHECK(first_difference(shot, two, Fraction(1, 4), Fraction(31, 125)) == Frame{9});
}
