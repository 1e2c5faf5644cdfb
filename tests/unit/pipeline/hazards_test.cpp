// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/hazards.h"
#include "support/catch.h"

#include "downball/base/notes.h"

#include <cmath>
#include <fmt/format.h>

using namespace downball;
using namespace downball::pipeline;

namespace {

// A reel of shots of so many frames each, from one file at that rate whose pictures it has plenty of on both ends.
struct Reel {
    Timeline timeline;
    CutPlan plan;
    BeatGrid beats;
    ShotLog log;

    Reel(Rate rate, const std::vector<std::int64_t>& lengths, Rate file = Rate(100)) {
        timeline.rate = rate;
        timeline.start = Frame{0};
        TimelineMedia media;
        media.name = "a.mp4";
        media.length = Frame{100000};
        media.rate = file;
        timeline.media = {media};
        log.media.resize(1);
        log.media[0].rate = log.media[0].frames.constant = file;
        for (const std::int64_t length : lengths) {
            VideoEvent event;
            event.shot = event.take = fmt::format("T{}", timeline.video.size() + 1);
            event.media = 0;
            event.record = {timeline.length, timeline.length + Frame{length}};
            event.source = {Frame{1000}, Frame{1000 + length}};
            timeline.video.push_back(event);
            timeline.length += Frame{length};
            Take take;
            take.id = event.take;
            take.media = 0;
            plan.shots.push_back(
                {event.shot, log.takes.size(), event.record, Frame{1000}, Fraction(1), {}, {}});
            log.takes.push_back(take);
        }
        plan.length = timeline.length;
    }

    // The first shot's contact is seen so many frames after the beat, which is at record frame 20.
    void hang(Fraction late_frames) {
        const Rate rate = timeline.rate;
        Impact impact;
        impact.id = "T1#1";
        impact.picture_s = ((Fraction(1020) + late_frames) / rate.value()).to_double();
        log.takes[0].impacts = {impact};
        beats.beats = {{(Fraction(20) / rate.value()).to_double(), 1, 0, 0}};
        plan.shots[0].anchors = {{0, 0, 0}};
    }
    std::size_t noticed() const { return noticed_sync(timeline, plan, beats, log).size(); }
};

} // namespace

// Facts of a broadcaster's guide (TV Tokyo, production guidelines): at most one change in 8 film frames or 10 TV frames.
TEST_CASE("cuts as quick as a third of a second are allowed, quicker ones are told") {
    for (const auto& [rate, least] : {std::pair{Rate(24), 8},
                                      {Rate(30), 10},
                                      {Rate(25), 9},
                                      {Rate(60), 20},
                                      {Rate(30000, 1001), 10},
                                      {Rate(24000, 1001), 8}}) {
        CHECK(quick_cuts(Reel(rate, {100, least, least, 100}).timeline).empty());
        CHECK(quick_cuts(Reel(rate, {100, least - 1, 100}).timeline).size() == 1);
    }
}

TEST_CASE("a run of quick cuts is told from its first to its last, with their number") {
    const auto found = quick_cuts(Reel(Rate(25), {100, 5, 5, 5, 20, 5, 100, 6, 100}).timeline);
    REQUIRE(found.size() == 2);
    CHECK(found[0].at == FrameRange{Frame{100}, Frame{141}});
    CHECK(found[0].text.find("from 00:00:04:00 to 00:00:05:15 there are 6 cuts") == 0);
    CHECK(found[0].text.find("photosensitive") != found[0].text.npos);
    CHECK(found[1].at == FrameRange{Frame{240}, Frame{247}});
    CHECK(found[1].text.find("there are 2 cuts") != found[1].text.npos);
    CHECK(group_notes(texts_of(found)).size() == 1);
}

TEST_CASE("the ends of the reel and of parts of a shot are no cuts") {
    CHECK(quick_cuts(Reel(Rate(25), {5, 100, 5}).timeline).empty());
    Reel reel(Rate(25), {100, 5, 100});
    reel.timeline.video[1].part = 1;
    reel.timeline.video[2].part = 2;
    CHECK(quick_cuts(reel.timeline).empty());
}

// Rec. ITU-R BT.1359-1: detectable from 45 ms of sound ahead and 125 ms behind, in whole frames of usual rates.
TEST_CASE("sync is told where it is noticed: the most whole frames late and early that are not") {
    struct Edge {
        Rate rate;
        int late, early;
    };
    for (const Edge& edge : {Edge{Rate(24000, 1001), 1, 2},
                             {Rate(24), 1, 3},
                             {Rate(25), 1, 3},
                             {Rate(30000, 1001), 1, 3},
                             {Rate(30), 1, 3},
                             {Rate(50), 2, 6},
                             {Rate(60000, 1001), 2, 7},
                             {Rate(60), 2, 7}}) {
        INFO(to_string(edge.rate));
        Reel reel(edge.rate, {100});
        const std::size_t in = 0, out = 1;
        for (const auto& [frames, expected] :
             {std::pair{edge.late, in}, {edge.late + 1, out}, {-edge.early, in}, {-edge.early - 1, out}}) {
            reel.hang(Fraction(frames));
            CHECK(reel.noticed() == expected);
        }
    }
}

TEST_CASE("a contact that only the M2 line moves is told as such, at its beat") {
    Reel reel(Rate(25), {100});
    reel.timeline.video[0].speed = Fraction(1, 4); // 6.25 frames a second, which the line calls 6.2
    reel.hang(Fraction(-15));                      // 5 source frames in: 20 of the record
    CHECK(reel.noticed() == 0);
    // 80 record frames in: 20/0.248 - 80 = 0.65 frames late. With a speed of 3/100 the line says 0.7 for 0.75.
    reel.timeline.video[0].speed = Fraction(3, 100);
    reel.log.takes[0].impacts[0].picture_s = (1000 + 0.6) / 25; // 20 frames in by the speed, 21.4 by the line
    const auto found = noticed_sync(reel.timeline, reel.plan, reel.beats, reel.log);
    REQUIRE(found.size() == 1);
    CHECK(found[0].at == FrameRange{Frame{20}, Frame{21}});
    CHECK(found[0].text.find(
              "T1#1: its contact on the beat at 00:00:00:20 is seen 57 ms after its beat where a "
              "program goes by the EDL's M2 line") == 0);
}

TEST_CASE("slow motion that repeats pictures is told with how many, at its record range") {
    // 25 pictures a second at half speed on 25: every second frame repeats. 50 a second: none.
    Reel reel(Rate(25), {50, 50}, Rate(25));
    reel.timeline.video[1].speed = Fraction(1, 2);
    const auto found = stuttering(reel.timeline, reel.plan, reel.log);
    REQUIRE(found.size() == 1);
    CHECK(found[0].text.find("T2: 25 of its 50 slowed frames repeat the picture before them") == 0);
    CHECK(found[0].at == FrameRange{Frame{50}, Frame{100}});
    Reel fast(Rate(25), {50}, Rate(50));
    fast.timeline.video[0].speed = Fraction(1, 2);
    CHECK(stuttering(fast.timeline, fast.plan, fast.log).empty());
    // By the table of a variable rate, whose pictures stand for twice as long.
    fast.log.media[0].frames.constant.reset();
    for (int k = 0; k < 2000; ++k)
        fast.log.media[0].frames.shown_s.push_back(k / 25.0);
    CHECK(stuttering(fast.timeline, fast.plan, fast.log).size() == 1);
}

TEST_CASE("real time that repeats pictures is no slow motion") {
    const Reel reel(Rate(50), {50}, Rate(25));
    CHECK(stuttering(reel.timeline, reel.plan, reel.log).empty());
}

TEST_CASE("shots near an end of their file are told together, with what is left there") {
    Reel reel(Rate(25), {50, 50, 50, 50, 50, 50});
    const auto from = [&](std::size_t shot, std::int64_t in) {
        reel.timeline.video[shot].source = {Frame{in}, Frame{in + 50}};
    };
    CHECK(short_handles(reel.timeline, 0).empty());
    from(1, 11);
    auto found = short_handles(reel.timeline, 0);
    REQUIRE(found.size() == 1);
    CHECK(found[0].text.find("1 of 6 shots have fewer than 12 spare frames") == 0);
    CHECK(found[0].text.find("T2 (11 at its head)") != found[0].text.npos);
    CHECK(found[0].at == FrameRange{Frame{50}, Frame{100}});
    from(1, 12);
    CHECK(short_handles(reel.timeline, 12).empty());
    CHECK(short_handles(reel.timeline, 13).size() == 1);
    from(1, 100000 - 50 - 12);
    CHECK(short_handles(reel.timeline, 0).empty());
    for (const std::size_t shot : {1u, 2u, 3u, 4u, 5u})
        from(shot, 100000 - 50);
    found = short_handles(reel.timeline, 0);
    REQUIRE(found.size() == 1);
    CHECK(found[0].text.find("T2 (0 at its tail), T3 (0 at its tail), T4 (0 at its tail) and 2 more") !=
          found[0].text.npos);
    CHECK_FALSE(found[0].at);
}
