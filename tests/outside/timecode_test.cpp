// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// Drop-frame labels, rate names and rounding against published values:
// the counts of SMPTE ST 12-1 (18 numbers skipped in ten minutes), and the worked examples in the public
// tests of OpenTimelineIO (tests/test_opentime.py, commit bc5fe2d7): frames 10789-17984, 107957, 1084319, the
// sloppy rates, the refused labels. Other rows are derived from the counts.
#include "support/catch.h"

#include "downball/time/rate.h"
#include "downball/time/timecode.h"

#include <cmath>
#include <fmt/format.h>

using namespace downball;

TEST_CASE("drop-frame labels at 30000/1001, SMPTE ST 12-1 and OpenTimelineIO's tests") {
    struct Row {
        std::int64_t frame;
        const char* drop;
        const char* non_drop;
    };
    const Rate rate(30000, 1001);
    for (const auto& [frame, drop, non_drop] : {
             Row{1799, "00:00:59;29", "00:00:59:29"},
             Row{1800, "00:01:00;02", "00:01:00:00"},
             Row{3598, "00:02:00;02", nullptr},
             Row{10789, "00:05:59;29", "00:05:59:19"},
             Row{10790, "00:06:00;02", "00:05:59:20"},
             Row{17981, "00:09:59;29", nullptr},
             Row{17982, "00:10:00;00", "00:09:59:12"},
             Row{17984, "00:10:00;02", nullptr},
             Row{107892, "01:00:00;00", nullptr},
             Row{107957, "01:00:02;05", "00:59:58:17"},
             Row{1084319, "10:03:00;05", "10:02:23:29"},
             Row{2589407, "23:59:59;29", nullptr},
         }) {
        INFO(frame);
        CHECK(*to_timecode(Frame{frame}, rate, Counting::drop) == drop);
        CHECK(from_timecode(drop, rate, Counting::drop)->n == frame);
        if (non_drop) {
            CHECK(*to_timecode(Frame{frame}, rate, Counting::non_drop) == non_drop);
            CHECK(from_timecode(non_drop, rate, Counting::non_drop)->n == frame);
        }
    }
    CHECK(day_length(rate, Counting::drop) == Frame{2589408});
}

TEST_CASE("drop-frame labels at 60000/1001 skip four numbers") {
    struct Row {
        std::int64_t frame;
        const char* label;
    };
    for (const auto& [frame, label] :
         {Row{3599, "00:00:59;59"}, Row{3600, "00:01:00;04"}, Row{35964, "00:10:00;00"},
          Row{215784, "01:00:00;00"}, Row{1084319, "05:01:30;03"}}) {
        INFO(frame);
        CHECK(*to_timecode(Frame{frame}, Rate(60000, 1001), Counting::drop) == label);
        CHECK(from_timecode(label, Rate(60000, 1001), Counting::drop)->n == frame);
    }
}

TEST_CASE("108 numbers are skipped in an hour, and none of them is taken for a frame") {
    int skipped = 0;
    for (int minute = 0; minute < 60; ++minute)
        for (int frame = 0; frame < 30; ++frame)
            if (!from_timecode(fmt::format("00:{:02}:00;{:02}", minute, frame), Rate(30000, 1001),
                               Counting::drop))
                ++skipped;
    CHECK(skipped == 108);
    CHECK_FALSE(from_timecode("00:01:00;00", Rate(30000, 1001), Counting::drop));
    CHECK_FALSE(from_timecode("00:01:00;01", Rate(30000, 1001), Counting::drop));
    CHECK_FALSE(from_timecode("00:59:00;01", Rate(30000, 1001), Counting::drop));
    CHECK(from_timecode("00:10:00;00", Rate(30000, 1001), Counting::drop));
}

TEST_CASE("drop frame is refused where it is not defined, and negative frames everywhere") {
    CHECK_FALSE(from_timecode("01:00:13;23", Rate(24), Counting::drop));
    CHECK_FALSE(to_timecode(Frame{0}, Rate(24000, 1001), Counting::drop));
    CHECK_FALSE(to_timecode(Frame{-1}, Rate(24), Counting::non_drop));
    for (const Rate rate : {Rate(100), Rate(120), Rate(120000, 1001)})
        CHECK_FALSE(to_timecode(Frame{0}, rate, Counting::non_drop));
}

TEST_CASE("drift of labels against the clock") {
    CHECK(to_seconds(*from_timecode("01:00:00:00", Rate(30000, 1001), Counting::non_drop),
                     Rate(30000, 1001)) == Approx(3603.6).margin(1e-9));
    CHECK(to_seconds(*from_timecode("01:00:00;00", Rate(30000, 1001), Counting::drop), Rate(30000, 1001)) ==
          Approx(3599.9964).margin(1e-9));
    CHECK(to_seconds(day_length(Rate(30000, 1001), Counting::drop), Rate(30000, 1001)) ==
          Approx(86399.9136).margin(1e-8));
}

TEST_CASE("sloppy rates snap to the rate they stand for, OpenTimelineIO's tests and ITU-R BT.709-6") {
    for (const double sloppy : {23.97, 23.976, 23.98})
        CHECK(snap_rate(sloppy) == Rate(24000, 1001));
    CHECK(snap_rate(29.97) == Rate(30000, 1001));
    CHECK(snap_rate(59.94) == Rate(60000, 1001));
    CHECK(snap_rate(23.999999) == Rate(24));
    CHECK(snap_rate(30.01) == Rate(30));
    CHECK(snap_rate(119.88) == Rate(120000, 1001));
    for (const Rate rate : {Rate(24), Rate(25), Rate(30), Rate(50), Rate(60), Rate(24000, 1001),
                            Rate(30000, 1001), Rate(60000, 1001)})
        CHECK(snap_rate(rate.per_second()) == rate);
    CHECK(snap_rate(27.5) == Rate(55, 2)); // no neighbour: kept
    CHECK(Rate(24000, 1001).per_second() == Approx(23.976024).margin(5e-7));
    CHECK(Rate(120000, 1001).per_second() == Approx(119.880120).margin(5e-7));
}

// Each beat instant is rounded by itself; adding up a rounded period drifts 16 frames in 64 beats.
TEST_CASE("beats of 128 BPM at 24 frames a second do not drift (derived from the definition of BPM)") {
    const Rate rate(24);
    const std::int64_t expected[] = {0, 11, 22, 34, 45, 56, 67, 79, 90}; // ties at 22.5 and 67.5 go down
    for (int beat = 0; beat < 9; ++beat) {
        CHECK(nearest_frame(Fraction(beat * 60, 128), rate).n == expected[beat]);
        CHECK(nearest_frame(beat * 60.0 / 128, rate).n == expected[beat]);
    }
    CHECK(nearest_frame(64 * 60.0 / 128, rate).n == 720);
    CHECK(64 * nearest_frame(60.0 / 128, rate).n == 704);
}

TEST_CASE("rounding to the nearest frame errs by half a frame at most (derived)") {
    struct Row {
        Rate rate;
        double half_ms;
    };
    for (const auto& [rate, half_ms] :
         {Row{Rate(24), 20.833}, Row{Rate(25), 20}, Row{Rate(30000, 1001), 16.683}, Row{Rate(30), 16.667},
          Row{Rate(60), 8.333}}) {
        double worst = 0;
        for (int i = 0; i < 100'000; ++i) {
            const double at = i * 0.000977;
            worst = std::max(worst, std::abs(to_seconds(nearest_frame(at, rate), rate) - at));
        }
        CHECK(worst * 1000 <= half_ms + 1e-3);
        CHECK(worst * 1000 > half_ms * 0.999);
    }
}
