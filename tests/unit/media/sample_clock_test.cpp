// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/sample_clock.h"
#include "support/catch.h"

#include <cmath>

using namespace downball::media;

// Law: stated times rounded to a coarse time base move no sample, however long the recording.
TEST_CASE("rounding of stated times never inserts or drops a sample") {
    for (const int rate : {8000, 44100, 48000, 192000})
        for (const double tick_s : {0.001, 1.0 / 90000})
            for (const int samples : {120, 1024, 4608}) {
                CAPTURE(rate, tick_s, samples);
                SampleClock clock(rate, tick_s, false);
                for (int k = 0; k < 20000; ++k) {
                    const auto rounded_s =
                        std::round(static_cast<double>(clock.position()) / (rate * tick_s)) * tick_s;
                    const auto place = clock.place(std::llround(rounded_s * rate), samples);
                    REQUIRE(place.gap == 0);
                    REQUIRE(place.cut == 0);
                    REQUIRE_FALSE(place.jumped);
                    clock.advance(samples);
                }
            }
}

TEST_CASE("a missing packet is a gap of its own length") {
    SampleClock clock(48000, 1.0 / 48000, false);
    clock.advance(1024);
    const auto place = clock.place(2048, 1024);
    CHECK(place.gap == 1024);
    CHECK(place.cut == 0);
}

// AAC at 96 kHz: a packet is 10.7 ms, less than the 20 ms that bound long packets.
TEST_CASE("a missing short packet is seen too") {
    SampleClock clock(96000, 1.0 / 96000, false);
    clock.advance(1024);
    CHECK(clock.place(2048, 1024).gap == 1024);
}

TEST_CASE("an overlap is cut from the head of what comes later") {
    SampleClock clock(48000, 1.0 / 48000, false);
    clock.advance(48000);
    CHECK(clock.place(46000, 4096).cut == 2000);
    CHECK(clock.place(40000, 4096).cut == 4096);
}

TEST_CASE("a clock that is reset joins the pieces") {
    SampleClock clock(48000, 1.0 / 90000, true);
    clock.advance(480000);
    CHECK(clock.place(0, 1024).jumped);
    clock.advance(1024);
    CHECK_FALSE(clock.off_count(1024, 1024));
    CHECK(clock.counted(1024) == clock.position());
    // Ahead by a minute: no recorder of such a stream pauses without a sign.
    CHECK(clock.place(1024 + 60 * 48000, 1024).jumped);
}

TEST_CASE("a pause of a minute in a file with one clock is silence") {
    SampleClock clock(48000, 1.0 / 48000, false);
    CHECK(clock.place(60 * 48000, 1024).gap == 60 * 48000);
}
