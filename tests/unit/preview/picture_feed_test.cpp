// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "preview/picture_feed.h"
#include "support/catch.h"

#include <chrono>
#include <pthread.h>

using namespace downball;
using preview::PictureFeed;

namespace {

const media::PictureOptions small{.width = 16, .height = 16, .rate = {}};

// Events of so many frames each, black, or of a clip that is not there.
Timeline reel_of(const std::vector<std::int64_t>& lengths, bool black = true) {
    Timeline timeline;
    timeline.name = "reel";
    timeline.rate = Rate(25);
    TimelineMedia gone;
    gone.path = gone.name = "gone.mov";
    gone.has_video = true;
    timeline.media = {gone};
    for (const auto length : lengths) {
        VideoEvent event;
        event.shot = "T1#1";
        if (!black) event.media = 0;
        event.record = {timeline.length, timeline.length + Frame{length}};
        event.source = {Frame{0}, Frame{length}};
        timeline.video.push_back(event);
        timeline.length += Frame{length};
    }
    return timeline;
}

// Once no more come.
std::size_t held_at_last(const PictureFeed& feed) {
    for (std::size_t before = 0;;) {
        std::this_thread::sleep_for(std::chrono::milliseconds(100));
        const auto held = feed.held();
        if (held > 0 && held == before) return held;
        before = held;
    }
}

} // namespace

TEST_CASE("no more pictures are held than a bounded number, of the event that is shown too") {
    for (const auto& timeline : {reel_of({2000}), reel_of({1000, 1000}), reel_of({3, 300, 1, 700})}) {
        PictureFeed feed(timeline, small);
        REQUIRE(feed.start(2));
        CHECK(held_at_last(feed) >= feed.most_held());
        CHECK(feed.held() <= feed.most_held() + 1);
        for (Frame k; k < timeline.length; k += Frame{1}) {
            CHECK(feed.next().width == 16);
            if (k.n == 2) CHECK(held_at_last(feed) <= feed.most_held() + 1);
        }
        CHECK(feed.held() == 0);
    }
}

TEST_CASE("of large pictures fewer are held, so that they take no more memory") {
    const auto timeline = reel_of({40, 40});
    const auto held_of = [&](int width, int height) {
        PictureFeed feed(timeline, {.width = width, .height = height, .rate = {}});
        return feed.most_held();
    };
    CHECK(held_of(640, 360) == 256);
    CHECK(held_of(160, 90) == 256);
    CHECK(held_of(1280, 720) == 64);
    CHECK(held_of(3840, 2160) == 16); // 199 MB, and decoding still runs ahead
    PictureFeed feed(timeline, {.width = 3840, .height = 2160, .rate = {}});
    REQUIRE(feed.start(2));
    CHECK(held_at_last(feed) <= 17);
    for (Frame k; k < timeline.length; k += Frame{1})
        CHECK(feed.next().width == 3840);
}

TEST_CASE("no note of what could not be decoded is lost") {
    auto timeline = reel_of({1, 1, 1}, false);
    timeline.media[0].name = std::string(200000, 'x'); // a note takes its time
    for (int round = 0; round < 100; ++round) {
        PictureFeed feed(timeline, small);
        REQUIRE(feed.start(3));
        for (int k = 0; k < 3; ++k)
            feed.next();
        REQUIRE(feed.notes().size() == 3);
    }
}

TEST_CASE("where the system gives no thread, those that run are ended and an error tells") {
    const auto timeline = reel_of({2000});
    PictureFeed feed(timeline, small);
    REQUIRE(feed.start(1));
    REQUIRE(held_at_last(feed) > 0); // it waits for room
    // No address space is left for a stack as large as all of it.
    pthread_attr_t usual, vast;
    REQUIRE(pthread_getattr_default_np(&usual) == 0);
    REQUIRE(pthread_attr_init(&vast) == 0);
    REQUIRE(pthread_attr_setstacksize(&vast, std::size_t{1} << 47) == 0);
    REQUIRE(pthread_setattr_default_np(&vast) == 0);
    const auto started = feed.start(2);
    REQUIRE(pthread_setattr_default_np(&usual) == 0);
    pthread_attr_destroy(&vast);
    pthread_attr_destroy(&usual);
    REQUIRE_FALSE(started);
    CHECK(started.error().fault == Fault::internal);
    CHECK(started.error().what.find("thread") != std::string::npos);
}
