// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/time/timecode.h"

using namespace downball;

TEST_CASE("label and frame are inverse at each rate that has timecode") {
    struct Case {
        Rate rate;
        Counting counting;
    };
    for (const auto& [rate, counting] :
         {Case{Rate(24000, 1001), Counting::non_drop}, Case{Rate(24), Counting::non_drop},
          Case{Rate(25), Counting::non_drop}, Case{Rate(30000, 1001), Counting::drop},
          Case{Rate(30000, 1001), Counting::non_drop}, Case{Rate(30), Counting::non_drop},
          Case{Rate(50), Counting::non_drop}, Case{Rate(60000, 1001), Counting::drop},
          Case{Rate(60), Counting::non_drop}}) {
        std::string before;
        const auto day = day_length(rate, counting).n;
        for (std::int64_t n = 0; n < day; n += n < 40'000 || n > day - 100 ? 1 : 997) {
            const auto label = to_timecode(Frame{n}, rate, counting);
            REQUIRE(label);
            REQUIRE(*label > before); // labels rise with the frames: none stands twice
            before = *label;
            const auto back = from_timecode(*label, rate, counting);
            REQUIRE(back);
            REQUIRE(back->n == n);
        }
    }
}

TEST_CASE("labels of another form or out of range are refused with what was expected") {
    const auto refused = [](std::string_view label, Rate rate = Rate(25),
                            Counting counting = Counting::non_drop) {
        const auto frame = from_timecode(label, rate, counting);
        REQUIRE_FALSE(frame);
        CHECK(frame.error().fault == Fault::bad_input);
        return frame.error().what;
    };
    CHECK(refused("24:00:00:00").find("hours") != std::string::npos);
    CHECK(refused("00:60:00:00").find("minutes") != std::string::npos);
    CHECK(refused("00:00:60:00").find("seconds") != std::string::npos);
    CHECK(refused("00:00:00:25").find("00 to 24") != std::string::npos);
    for (const auto* bad :
         {"", "1:00:00:00", "00:00:00", "00-00-00-00", "00:00:00:0a", "00:00:00:000", "-1:00:00:00"})
        CHECK(refused(bad).find("HH:MM:SS:FF") != std::string::npos);
    refused("00:00:00:00", Rate(120));
    refused("00:00:00;00", Rate(25), Counting::drop);
}

TEST_CASE("frames outside the day have no label until they are wrapped") {
    CHECK_FALSE(to_timecode(Frame{-1}, Rate(25), Counting::non_drop));
    const auto day = day_length(Rate(25), Counting::non_drop);
    CHECK(day == Frame{2'160'000});
    CHECK_FALSE(to_timecode(day, Rate(25), Counting::non_drop));
    CHECK(*to_timecode(wrap_day(day + Frame{3}, Rate(25), Counting::non_drop), Rate(25),
                       Counting::non_drop) == "00:00:00:03");
    CHECK(wrap_day(Frame{-1}, Rate(25), Counting::non_drop) == Frame{2'159'999});
}
