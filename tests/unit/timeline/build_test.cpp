// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "unit/timeline/small_day.h"

using namespace downball;
using test::SmallDay;

TEST_CASE("record and source labels have their own starts") {
    SmallDay day;
    day.limits.delivery.start = Frame{90000};
    day.log.media[0].start = StartTimecode{"10:00:00:00", Frame{1800000}, Rate(50), Counting::non_drop};
    day.shot(0, 40, 38).anchors = {{0, 1, 0}};
    const auto timeline = day.build();
    CHECK(timeline->start == Frame{90000});
    CHECK(timeline->video[0].record.in == Frame{0});
    CHECK(timeline->video[0].source == FrameRange{{900038}, {900078}});
    CHECK(timeline->natural[0].source.in == Frame{900038});
    CHECK(timeline->song[0].source.in == Frame{0});
}

TEST_CASE("only files that are used are listed, and their reels do not depend on the others being used") {
    SmallDay day;
    day.log.media[0].path = "card2/C1_0001.mp4";
    day.add_file("C1_0001.mp4", 10, Rate(25)).path = "card1/C1_0001.mp4";
    day.add_take("T2", 1, Kind::cutaway);
    day.shot(0, 40, 0);
    auto one = day.build();
    REQUIRE(one->media.size() == 2); // and the song
    day.shot(1, 40, 0);
    auto both = day.build();
    REQUIRE(both->media.size() == 3);
    CHECK(one->media[0].reel == both->media[0].reel);
    CHECK(both->media[0].reel == "C10001"); // its take has the earlier id
    CHECK(both->media[0].reel != both->media[1].reel);
}

TEST_CASE("section borders inside the cut become markers") {
    SmallDay day;
    day.plan.song_start_s = 2;
    day.beats.sections = {{0, 4, 0.2}, {4, 8, 0.5}, {8, 16, 0.9}, {16, 40, 0.4}};
    day.shot(0, 100, 0);
    const auto timeline = day.build();
    REQUIRE(timeline->sections.size() == 2); // at 2 s and 4 s; 0 s lies before, 8 s behind
    CHECK(timeline->sections[0].at == Frame{0});
    CHECK(timeline->sections[1].at == Frame{50});
    CHECK(timeline->sections[1].name == "section 3");
}

TEST_CASE("record timecode past midnight and rates without timecode are refused") {
    SmallDay day;
    day.shot(0, 40, 0);
    day.limits.delivery.start = Frame{2160000 - 40};
    const auto late = day.build();
    REQUIRE_FALSE(late);
    CHECK(late.error().fault == Fault::bad_input);
    day.limits.delivery.start = Frame{2160000 - 41};
    CHECK(day.build());
    day.limits.delivery.rate = Rate(100);
    CHECK_FALSE(day.build());
    day.limits.delivery.rate = Rate(25);
    day.limits.delivery.counting = Counting::drop;
    CHECK_FALSE(day.build());
}

TEST_CASE("a reel that the log gives to several files is told, since each file has one of its own") {
    SmallDay day;
    day.add_file("C1_0002.mp4", 10, Rate(50)).id = "00000000000000ab";
    day.add_take("T2", 1, Kind::cutaway);
    day.log.takes[0].reel = day.log.takes[1].reel = "CARD1";
    day.shot(0, 10, 0);
    day.shot(1, 10, 0);
    CHECK(test::any_note(*day.build(), "called otherwise than in the log: C1_0002.mp4 CARD1000"));
    day.log.takes[1].reel = "CARD2";
    CHECK(day.build()->notes.empty());
}
