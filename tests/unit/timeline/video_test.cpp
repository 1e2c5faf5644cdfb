// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "unit/timeline/small_day.h"

using namespace downball;
using test::SmallDay;

TEST_CASE("EDL rule 8: picture events tile the cut from the first frame to the last") {
    SmallDay day;
    day.shot(0, 30, 38).anchors = {{0, 1, 0}};
    day.shot(0, 20, 100);
    const auto timeline = day.build();
    REQUIRE(timeline);
    REQUIRE(timeline->video.size() == 2);
    CHECK(timeline->video[0].record == FrameRange{{0}, {30}});
    CHECK(timeline->video[1].record == FrameRange{{30}, {50}});
    CHECK(timeline->video[0].source == FrameRange{{38}, {68}});
    CHECK(timeline->length == Frame{50});

    day.plan.shots[1].record.in = Frame{31};
    const auto hole = day.build();
    REQUIRE_FALSE(hole);
    CHECK(hole.error().what.find("expected to begin at 30") != std::string::npos);
}

TEST_CASE("an event keeps of its picture what its take does, in each part of a rally too") {
    SmallDay day;
    day.add_take("T2", 0, Kind::cutaway).crop_centre = 0.25;
    day.log.takes[0].crop_centre = 0.75;
    day.shot(1, 20, 100);
    PlannedShot& rally = day.shot(0, 60, 40);
    rally.stretches = {{{{20}, {50}}, {{40}, {70}}}, {{{50}, {80}}, {{70}, {100}}}};
    const auto timeline = day.build();
    REQUIRE(timeline);
    REQUIRE(timeline->video.size() == 3);
    CHECK(timeline->video[0].crop_centre == 0.25);
    CHECK(timeline->video[1].crop_centre == 0.75);
    CHECK(timeline->video[2].crop_centre == 0.75);
}

TEST_CASE("EDL rule 10: source length is record length x speed, rounded once") {
    SmallDay day;
    day.log.media[0].frames.constant = day.log.media[0].rate = Rate(120);
    day.shot(0, 31, 10, Fraction(1, 5)); // M2 005.0 says it exactly
    const auto timeline = day.build();
    REQUIRE(timeline);
    CHECK(timeline->video[0].source == FrameRange{{10}, {16}}); // 6.2
    CHECK(timeline->video[0].speed == Fraction(1, 5));
}

TEST_CASE("EDL rule 10: a short shot keeps the exact speed, since the rounded one shows the same pictures") {
    SmallDay day;
    day.log.media[0].frames.constant = day.log.media[0].rate = Rate(100);
    day.shot(0, 62, 10, Fraction(1, 4));
    CHECK(day.build()->video[0].speed == Fraction(1, 4));
}

TEST_CASE("EDL rule 10: a long shot takes the speed that an M2 line can say, so that both lists agree") {
    SmallDay day;
    day.log.media[0].frames.constant = day.log.media[0].rate = Rate(100);
    day.shot(0, 80, 49, Fraction(1, 4)).anchors = {
        {0, 0, 0}}; // contact 1 list frame in, 4 record frames: beat 0 + 0.16
    day.beats.beats[0].seconds = 0.16;
    const auto timeline = day.build();
    REQUIRE(timeline);
    CHECK(timeline->video[0].speed == Fraction(31, 125));
    CHECK(timeline->video[0].source.length() == Frame{20}); // 19.84
}

TEST_CASE(
    "EDL rule 10: a long shot in real time has no M2 line to round, at rates that one decimal cannot say") {
    for (const Rate rate : {Rate(24000, 1001), Rate(30000, 1001), Rate(60000, 1001)}) {
        SmallDay day;
        day.limits.delivery.rate = rate;
        day.shot(0, 100, 3); // long enough that 24.0 for 23.976 would show other pictures
        const auto timeline = day.build();
        REQUIRE(timeline);
        CHECK(timeline->video[0].speed == Fraction(1));
        CHECK(timeline->notes.empty());
    }
}

TEST_CASE(
    "EDL rule 10: where the rounded speed would lose the beat, the exact one stays and a note says so") {
    SmallDay day;
    day.log.media[0].frames.constant = day.log.media[0].rate = Rate(100);
    day.log.takes[0].impacts[0].picture_s =
        2.68; // 17 list frames in: 68 record frames at 1/4, 68.55 at 31/125
    day.shot(0, 80, 50, Fraction(1, 4)).anchors = {{0, 0, 0}};
    day.beats.beats[0].seconds = 2.72;
    const auto timeline = day.build();
    REQUIRE(timeline);
    CHECK(timeline->video[0].speed == Fraction(1, 4));
    CHECK(test::any_note(*timeline, "the EDL can only say 6.2 frames a second for the speed 1/4"));
}

TEST_CASE("a source range outside its file is an error, a last frame that is not whole is cut off") {
    SmallDay day;
    day.shot(0, 30, 225); // 250 in the file
    const auto over = day.build();
    REQUIRE_FALSE(over);
    CHECK(over.error().where == "C1_0001.mp4");
    CHECK(over.error().what.find("225 to 255 of a file that has 250") != std::string::npos);

    SmallDay slow;
    slow.shot(0, 33, 243, Fraction(1, 5)); // 6.6 frames used, to 249.6 of 250
    CHECK(slow.build()->video[0].source == FrameRange{{243}, {250}});
    slow.log.media[0].duration_s = 9.985; // 249.625
    CHECK(slow.build()->video[0].source == FrameRange{{243}, {249}});
}

TEST_CASE("contacts are marked on the record frame they are shown in") {
    SmallDay day;
    day.shot(0, 10, 0);
    day.shot(0, 30, 45).anchors = {{0, 1, 0}}; // contact at list frame 50, so record frame 10 + 5
    day.log.takes[0].impacts[0].skill = Skill::attack;
    const auto timeline = day.build();
    REQUIRE(timeline->video[1].contacts.size() == 1);
    CHECK(timeline->video[1].contacts[0].at == Frame{15});
    CHECK(timeline->video[1].contacts[0].name == "attack? T1#2040");
    day.log.takes[0].impacts[0].skill_sure = true;
    CHECK(day.build()->video[1].contacts[0].name == "attack T1#2040");
}

TEST_CASE(
    "a rally on the beat is an event a stretch, each beginning with the picture the last one ends before") {
    SmallDay day;
    PlannedShot& rally = day.shot(0, 60, 40);
    rally.stretches = {
        {{{0}, {10}}, {{40}, {50}}}, {{{10}, {37}}, {{50}, {80}}}, {{{37}, {60}}, {{80}, {103}}}};
    rally.speed = Fraction(1);
    // Contact 0 is seen a hair before the second joint, so by the second event, on the first frame of the third.
    day.log.takes[0].impacts[0].picture_s = 79.8 / 25;
    rally.anchors = {{0, 1, 0}};
    const auto timeline = day.build();
    REQUIRE(timeline);
    const auto& events = timeline->video;
    REQUIRE(events.size() == 3);
    for (std::size_t n = 0; n < 3; ++n) {
        CHECK(events[n].part == static_cast<int>(n));
        CHECK(events[n].shot == rally.id);
        if (n == 0) continue;
        CHECK(events[n].record.in == events[n - 1].record.out);
        CHECK(events[n].source.in == events[n - 1].source.out);
    }
    CHECK(events[0].speed == Fraction(1));
    CHECK(events[2].speed == Fraction(1));
    // 30/27 of 25 frames a second is 27.78; M2 says 27.8, whose 27 frames are 30 of source as well.
    CHECK(events[1].speed == Fraction(278, 250));
    CHECK(events[1].contacts.empty());
    REQUIRE(events[2].contacts.size() == 1);
    CHECK(events[2].contacts[0].at == Frame{37});
    CHECK(test::any_note(*timeline, "its contacts stay on their beats"));

    day.plan.shots[0].stretches.back().source.out = Frame{1000000};
    CHECK_FALSE(day.build());
}
