// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "unit/timeline/small_day.h"

#include <array>

using namespace downball;
using test::SmallDay;

TEST_CASE("the song lies under the whole cut from its start") {
    SmallDay day;
    day.plan.song_start_s = 2.0;
    day.shot(0, 100, 0);
    const auto timeline = day.build();
    REQUIRE(timeline->song.size() == 1);
    CHECK(timeline->song[0].record == FrameRange{{0}, {100}});
    CHECK(timeline->song[0].source == FrameRange{{50}, {150}});
    CHECK(timeline->media[timeline->song[0].media].reel == "SONG");
    CHECK_FALSE(timeline->media[timeline->song[0].media].has_video);
    CHECK(timeline->notes.empty());
}

TEST_CASE("a song that is too short, or starts between two frames, is told of") {
    SmallDay day;
    day.plan.song_start_s = 18.01;
    day.shot(0, 100, 0);
    const auto timeline = day.build();
    CHECK(timeline->song[0].record == FrameRange{{0}, {50}});
    CHECK(test::any_note(*timeline, "the song ends 50 frames before the cut"));
    CHECK(test::any_note(*timeline, "10.0 ms later than planned"));
    day.plan.song_start_s = 20;
    const auto past = day.build();
    REQUIRE_FALSE(past);
    CHECK(past.error().fault == Fault::bad_input);
    CHECK(past.error().where == "song.wav");
}

TEST_CASE("natural sound: the sound instant lies on the beat, not the picture instant") {
    SmallDay day;
    day.shot(0, 40, 38).anchors = {{0, 1, 0}}; // picture 2.0 s on the beat at 0.5 s: frame 50 - 12 = 38
    const auto timeline = day.build();
    REQUIRE(timeline->natural.size() == 1);
    const auto& sound = timeline->natural[0];
    CHECK(sound.record == FrameRange{{0}, {40}});
    // Sound at 2.04 s = list frame 51, beat at 12.5: shift 38.5, tie to the lower.
    CHECK(sound.source == FrameRange{{38}, {78}});
    day.log.takes[0].impacts[0].sound_s = 2.06;
    CHECK(day.build()->natural[0].source.in == Frame{39});
    CHECK(sound.shot == day.plan.shots[0].id);
    CHECK(sound.fade_frames == 2);
}

TEST_CASE("natural sound: a J-cut begins before its picture, an L-cut runs on after it") {
    SmallDay day;
    day.shot(0, 40, 38).anchors = {{0, 1, 0}};
    day.shot(0, 60, 100);
    const auto plain = day.build()->natural;
    day.options.j_cut_frames = 6;
    day.options.l_cut_frames = 10;
    const auto split = day.build()->natural;
    REQUIRE(split.size() == 1);
    CHECK(split[0].record == FrameRange{{0}, {50}}); // nothing lies before the cut
    CHECK(split[0].source == FrameRange{plain[0].source.in, plain[0].source.out + Frame{10}});
    SmallDay other;
    other.shot(0, 20, 150);                      // no contact on a beat: no sound
    other.shot(0, 40, 45).anchors = {{0, 2, 0}}; // picture 2.0 s on the beat at 1 s: 50 - (25 - 20) = 45
    const auto before = other.build()->natural;
    REQUIRE(before.size() == 1);
    other.options.j_cut_frames = 6;
    const auto j_cut = other.build()->natural;
    CHECK(j_cut[0].record == FrameRange{before[0].record.in - Frame{6}, before[0].record.out});
    CHECK(j_cut[0].source.in == before[0].source.in - Frame{6});
}

TEST_CASE("natural sound: a J-cut leaves every hit before it, however long it is") {
    SmallDay day;
    day.add_impact(0, 4.04, 4.0);
    day.add_impact(0, 7.04, 7.0);
    day.shot(0, 40, 25).anchors = {{0, 2, 0}};  // beat at 1 s
    day.shot(0, 40, 90).anchors = {{1, 4, 0}};  // at 2 s
    day.shot(0, 40, 155).anchors = {{2, 8, 0}}; // at 4 s
    const auto plain = day.build()->natural;
    REQUIRE(plain.size() == 3);
    for (const int frames : {3, 15, 60, 250}) {
        day.options.j_cut_frames = day.options.l_cut_frames = frames;
        day.options.fade_frames = 100;
        const auto split = day.build()->natural;
        REQUIRE(split.size() == 3);
        for (std::size_t n = 0; n < 3; ++n) {
            const Frame beat{std::array{25, 50, 100}[n]};
            CHECK(split[n].record.in <= plain[n].record.in);
            CHECK(split[n].record.in <= beat);
            CHECK(split[n].record.out > beat + Frame{5}); // it rings
            CHECK(split[n].record.in - split[n].source.in == plain[n].record.in - plain[n].source.in);
            CHECK(split[n].record.length() == split[n].source.length());
            CHECK(split[n].fade_frames * 2 <= split[n].record.length().n);
            if (n > 0) CHECK(split[n - 1].record.out <= split[n].record.in);
        }
    }
}

TEST_CASE("natural sound: a retimed shot lends the hit alone, at real speed") {
    SmallDay day;
    day.limits.delivery.rate = Rate(50);
    day.add_impact(0, 2.3, 2.26); // the next contact must not be heard
    auto& shot = day.shot(0, 200, 90, Fraction(1, 5));
    shot.anchors = {{0, 2, 0}}; // beat at 1.0 s, record frame 50
    const auto timeline = day.build();
    REQUIRE(timeline->natural.size() == 1);
    const auto& sound = timeline->natural[0];
    CHECK(sound.record ==
          FrameRange{{45}, {61}}); // 0.1 s before the beat; after it 0.26 s less the margin of 0.04
    CHECK(sound.source == FrameRange{{97}, {113}});
    CHECK(sound.source.length() == sound.record.length());
}

TEST_CASE("natural sound: none from stretched, silent and other takes") {
    SmallDay day;
    day.log.takes[0].capture_fps = 100; // in a file that says 50
    day.shot(0, 40, 38).anchors = {{0, 1, 0}};
    auto timeline = day.build();
    CHECK(timeline->natural.empty());
    CHECK(test::any_note(*timeline, "shot T1@0: no natural sound"));

    SmallDay silent;
    silent.log.media[0].audio.reset();
    silent.shot(0, 40, 38).anchors = {{0, 1, 0}};
    CHECK(silent.build()->natural.empty());

    SmallDay other;
    other.shot(0, 40, 38);
    CHECK(other.build()->natural.empty()); // anchors nothing
    other.plan.shots[0].anchors = {{0, 1, 0}};
    CHECK(other.build()->natural.size() == 1);
    other.options.natural_sound = false;
    CHECK(other.build()->natural.empty());
}

TEST_CASE("natural sound stays inside the file's sound") {
    SmallDay day;
    day.log.media[0].audio = AudioInfo{48000, 1, 1.8, 2.5};
    day.shot(0, 40, 38).anchors = {{0, 1, 0}};
    const auto timeline = day.build();
    REQUIRE(timeline->natural.size() == 1);
    CHECK(timeline->natural[0].source == FrameRange{{45}, {62}});
    CHECK(timeline->natural[0].record == FrameRange{{7}, {24}});
}
