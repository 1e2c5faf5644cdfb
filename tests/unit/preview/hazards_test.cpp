// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "unit/media/clips.h"

#include "downball/preview/preview.h"
#include "downball/preview/repeats.h"

#include <algorithm>
#include <fstream>

// What a preview's pictures tell: flashes, black, stills.

using namespace downball;
using namespace downball::test;

namespace {

struct Reel {
    TempFolder folder;
    Timeline timeline;

    explicit Reel(Rate rate) {
        ffmpeg("-f lavfi -i \"sine=f=440:d=6:r=48000,volume=-6dB\" " + (folder / "song.wav"));
        timeline.name = "reel";
        timeline.rate = rate;
        timeline.start = Frame{90000};
        add_media("song.wav", false);
    }
    std::size_t add_media(const std::string& name, bool video = true) {
        TimelineMedia made;
        made.path = folder / name;
        made.name = name;
        made.has_video = video;
        if (video) made.rate = timeline.rate;
        made.length = Frame{1000};
        made.duration_s = 6;
        timeline.media.push_back(made);
        return timeline.media.size() - 1;
    }
    // Six seconds of a grey, given by its luma.
    std::size_t grey(const std::string& name, int luma) {
        ffmpeg(fmt::format(
            "-f lavfi -i \"color=black:s=320x180:r={}:d=6,format=yuv420p,lutyuv=y={}:u=128:v=128\" "
            "{}-color_range tv -colorspace bt709 {}",
            to_string(timeline.rate), luma, h264, folder / name));
        return add_media(name);
    }
    // Without loss, so that what is held stays as it is.
    std::size_t moving(const std::string& name, const std::string& filters) {
        ffmpeg(fmt::format("-f lavfi -i \"testsrc2=s=320x180:r={}:d=6,{}\" -c:v ffv1 {}",
                           to_string(timeline.rate), filters, folder / name));
        return add_media(name);
    }
    void shot(std::optional<std::size_t> media, std::int64_t length, std::int64_t from = 0) {
        VideoEvent event;
        event.shot = media ? fmt::format("T{}", timeline.video.size() + 1) : "black";
        event.media = media;
        event.record = {timeline.length, timeline.length + Frame{length}};
        event.source = {Frame{from}, Frame{from + length}};
        timeline.video.push_back(event);
        timeline.length += Frame{length};
    }
    preview::Made make() {
        timeline.song = {{0, {Frame{0}, timeline.length}, {Frame{0}, timeline.length}, "", 0}};
        const auto made = preview::make_preview(timeline, folder / "reel.mp4", {.form = {.longer_side_px = 320}});
        INFO((made ? "" : to_string(made.error())));
        REQUIRE(made);
        return *made;
    }
};

std::vector<Warning> with(const preview::Made& made, const std::string& words) {
    auto notes = made.notes;
    std::erase_if(notes, [&](const Warning& note) { return note.text.find(words) == note.text.npos; });
    return notes;
}

} // namespace

// W3C WCAG 2.2, success criterion 2.3.1, by its words for shots of luminance 0.90 and 0.05 that take turns: at 24 frames
// a second shots of 3 frames change 8 times in a second, which are 4 flashes, shots of 4 frames 6 times, 3 flashes. Their
// lumas are the inverse of sRGB (IEC 61966-2-1) in studio range.
TEST_CASE(
    "a cut that takes turns between a light and a dark clip is told where it flashes four times a second") {
    for (const auto& [length, flashes] : {std::pair{3, 4}, {4, 3}}) {
        Reel reel(Rate(24));
        const auto light = reel.grey("light.mp4", 225), dark = reel.grey("dark.mp4", 70);
        reel.shot(light, 48);
        for (int n = 0; n < 24 / length; ++n)
            reel.shot(n % 2 == 0 ? dark : light, length);
        const auto turns_end = reel.timeline.length;
        reel.shot(light, 48);
        const auto found = with(reel.make(), "WCAG 2.3.1");
        if (flashes <= 3) {
            CHECK(found.empty());
            continue;
        }
        REQUIRE(found.size() == 1);
        INFO(found[0].text);
        // From the first change, the cut to the first dark shot, to the eighth, that to its last light one.
        CHECK(found[0].at == FrameRange{Frame{48}, turns_end - Frame{3} + Frame{1}});
        CHECK(found[0].text.find("from 01:02:32:00 to 01:02:32:21 it flashes 4 times") == 0);
        CHECK(found[0].text.find("shots T2, T3, T4, T5 and 4 more") != found[0].text.npos);
    }
}

TEST_CASE("black in a clip is told with its place and shot, black that was planned is not") {
    Reel reel(Rate(25));
    const auto clip =
        reel.moving("clip.mkv", "lutyuv=y=16:u=128:v=128:enable='between(n,20,24)+between(n,40,40)'");
    reel.shot(std::nullopt, 25);
    reel.shot(clip, 50);
    const auto made = reel.make();
    const auto found = with(made, "black for");
    REQUIRE(found.size() == 1);
    CHECK(found[0].at == FrameRange{Frame{45}, Frame{50}});
    CHECK(found[0].text == "from 01:00:01:20 to 01:00:02:00 the picture is black for 0.20 s; shots T2");
    CHECK(made.black.size() == 1);
    CHECK(made.frozen.empty());
}

TEST_CASE("a picture that stands still is told with its place and shot, a slate as a slate alone") {
    Reel reel(Rate(25));
    const auto clip =
        reel.moving("clip.mkv", "select='not(between(n,21,39))',fps=25"); // 20 is held for 20 frames
    std::ofstream(reel.folder / "broken.mp4") << "no clip";
    const auto broken = reel.add_media("broken.mp4");
    reel.shot(clip, 60);
    reel.shot(broken, 40);
    const auto made = reel.make();
    const auto found = with(made, "stands still");
    REQUIRE(found.size() == 1);
    CHECK(found[0].at == FrameRange{Frame{20}, Frame{40}});
    CHECK(found[0].text == "from 01:00:00:20 to 01:00:01:15 the picture stands still for 0.80 s; shots T1");
    const auto slates = with(made, "slate for 40 of 40");
    REQUIRE(slates.size() == 1);
    CHECK(slates[0].at == FrameRange{Frame{60}, Frame{100}});
}

TEST_CASE("slow motion that repeats pictures for less than half a second stands not still") {
    Reel reel(Rate(25));
    const auto clip = reel.moving("clip.mkv", "null");
    reel.shot(clip, 60);
    reel.timeline.video[0].speed = Fraction(1, 5);
    reel.timeline.video[0].source.out = Frame{12};
    FrameTable frames;
    frames.constant = Rate(25);
    CHECK(preview::repeated_pictures(reel.timeline.video[0], reel.timeline.media[clip], frames, Rate(25)) ==
          48);
    CHECK(with(reel.make(), "stands still").empty());
}
