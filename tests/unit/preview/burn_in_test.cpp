// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "preview/burn_in.h"
#include "unit/preview/counter_reel.h"

#include "downball/media/picture_reader.h"
#include "downball/preview/preview.h"

using namespace downball;
using namespace downball::test;
using preview::BurnIn;

namespace {

Timeline of_shots(const std::vector<std::int64_t>& lengths) {
    Timeline timeline;
    timeline.rate = Rate(25);
    for (const auto length : lengths) {
        VideoEvent event;
        event.record = {timeline.length, timeline.length + Frame{length}};
        timeline.length = event.record.out;
        timeline.video.push_back(event);
    }
    return timeline;
}

} // namespace

TEST_CASE("the preview can show the number of the shot and the record timecode") {
    auto timeline = of_shots(std::vector<std::int64_t>(12, 10));
    timeline.start = Frame{90000};
    const BurnIn burn_in(timeline, 640, 360);
    CHECK(burn_in.text(Frame{0}) == " 1  01:00:00:00");
    CHECK(burn_in.text(Frame{9}) == " 1  01:00:00:09");
    CHECK(burn_in.text(Frame{10}) == " 2  01:00:00:10");
    CHECK(burn_in.text(Frame{119}) == "12  01:00:04:19");
    timeline.video[1].part = 1; // the first shot goes on at another speed
    CHECK(BurnIn(timeline, 640, 360).text(Frame{119}) == "11  01:00:04:19");
}

TEST_CASE(
    "dropped labels are dropped there too") { // SMPTE ST 12-1: labels 0 and 1 of a minute, but each tenth
    auto timeline = of_shots({20000});
    timeline.rate = Rate(30000, 1001);
    timeline.counting = Counting::drop;
    const BurnIn burn_in(timeline, 640, 360);
    CHECK(burn_in.text(Frame{1799}) == "1  00:00:59;29");
    CHECK(burn_in.text(Frame{1800}) == "1  00:01:00;02");
    CHECK(burn_in.text(Frame{17982}) == "1  00:10:00;00");
}

TEST_CASE("it stands bright on dark in the lower left corner, and nothing else is touched") {
    const auto timeline = of_shots({100});
    for (const auto& [width, height] : {std::pair{640, 360}, {360, 640}, {640, 640}, {160, 90}}) {
        INFO(fmt::format("{} x {}", width, height));
        const media::Picture before(width, height, 180);
        auto after = before;
        BurnIn(timeline, width, height).draw(after, Frame{7});
        int left = width, right = 0, top = height, bottom = 0, bright = 0, dark = 0;
        const auto luma = after.plane(0);
        for (int y = 0; y < height; ++y)
            for (int x = 0; x < width; ++x) {
                const int grey = luma.data[y * width + x];
                if (grey == 180) continue;
                left = std::min(left, x);
                right = std::max(right, x);
                top = std::min(top, y);
                bottom = std::max(bottom, y);
                bright += grey > 220;
                dark += grey < 70;
            }
        CHECK(left >= width / 20 - 1);
        CHECK(right < width - width / 20);
        CHECK(bottom <= height - height / 20 + 1);
        CHECK(top > height * 3 / 4);
        CHECK(bright > (right - left) * (bottom - top) / 20);
        CHECK(dark > (right - left) * (bottom - top) / 2);
    }
}

TEST_CASE("flashes are measured on the pictures without it") {
    CounterReel reel;
    ffmpeg("-f lavfi -i sine=d=4:r=48000 " + (reel.folder / "song.wav"));
    TimelineMedia song;
    song.path = reel.folder / "song.wav";
    reel.timeline.media.push_back(song);
    reel.timeline.song = {{1, {Frame{0}, Frame{100}}, {Frame{0}, Frame{100}}, "", 0}};
    std::vector<std::string> flashes;
    std::vector<int> corners;
    for (const bool burn_in : {false, true}) {
        const auto path = reel.folder / "reel.mp4";
        const auto made = preview::make_preview(reel.timeline, path, {.form = {.burn_in = burn_in}});
        REQUIRE(made);
        std::string told;
        for (const auto& one : made->flashes)
            told += fmt::format("{}-{}:{} ", one.first.n, one.last.n, one.flashes);
        flashes.push_back(told);
        auto reader = media::PictureReader::open(path, {.rate = Rate(25)});
        REQUIRE(reader);
        const auto picture = reader->picture_at(Fraction(1, 2)); // black
        REQUIRE(picture);
        const auto luma = (*picture)->plane(0);
        corners.push_back(*std::max_element(luma.data + 290 * 640, luma.data + 345 * 640));
    }
    CHECK(flashes[0] == flashes[1]);
    CHECK(corners[0] < 30);
    CHECK(corners[1] > 180);
}
