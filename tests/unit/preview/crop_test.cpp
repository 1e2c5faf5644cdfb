// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "unit/media/clips.h"

#include "downball/preview/preview.h"

// Reels narrower than their footage, as the ffmpeg program decodes them.

using namespace downball;
using namespace downball::test;

namespace {

constexpr int bits = 8, wide = 320, high = 180;

// Pictures of 50 a second that tell their number by eight bands from the top, white where the bit is set, and below
// them by grey how far from the left a pixel lies.
void make_clip(const std::string& path) {
    ffmpeg(fmt::format(
        "-f lavfi -i \"nullsrc=s={}x{}:r=50:d=4,format=gray,geq=lum='if(lt(Y\\,120)\\,255*mod(floor(N/"
        "pow(2\\,floor(Y/15)))\\,2)\\,255*(X+0.5)/{})'\" -pix_fmt yuv420p -c:v libx264 -preset veryfast "
        "-crf 12 -bf 2 -g 30 {}",
        wide, high, wide, path));
}

struct Shot {
    double crop_centre;
    std::int64_t from; // list frame
    Fraction speed;
};

constexpr std::int64_t shot_frames = 20;

struct Reel {
    TempFolder folder;
    Timeline timeline;
    std::vector<Shot> shots;

    explicit Reel(std::vector<Shot> of) : shots(std::move(of)) {
        make_clip(folder / "clip.mp4");
        ffmpeg("-f lavfi -i sine=f=440:d=4:r=48000 " + (folder / "song.wav"));
        timeline.rate = Rate(25);
        for (const char* name : {"clip.mp4", "song.wav"}) {
            TimelineMedia media;
            media.path = folder / name;
            media.name = name;
            timeline.media.push_back(media);
        }
        timeline.media[0].rate = Rate(50);
        for (const Shot& shot : shots) {
            VideoEvent event;
            event.shot = fmt::format("T1#{}", shot.from);
            event.media = 0;
            event.record = {timeline.length, timeline.length + Frame{shot_frames}};
            event.source = {Frame{shot.from}, Frame{shot.from + floor(Fraction(shot_frames) * shot.speed)}};
            event.speed = shot.speed;
            event.crop_centre = shot.crop_centre;
            timeline.video.push_back(event);
            timeline.length = event.record.out;
        }
        timeline.song = {{1, {Frame{0}, timeline.length}, {Frame{0}, timeline.length}, "", 0}};
    }
    std::string path() const { return folder / "reel.mp4"; }
    std::string made(PreviewShape shape) const {
        const auto done =
            preview::make_preview(timeline, path(), {.form = {.shape = shape, .longer_side_px = 320}});
        INFO((done ? "" : to_string(done.error())));
        REQUIRE(done);
        return read(path());
    }
    static std::string read(const std::string& path) {
        std::ifstream file(path, std::ios::binary);
        return {std::istreambuf_iterator<char>(file), {}};
    }
};

// Luma of all pictures of a movie, one behind another.
std::string luma_of(const Reel& reel, const std::string& filters = "null") {
    ffmpeg("-i " + reel.path() + " -map 0:v -vsync passthrough -vf " + filters +
           ",extractplanes=y -f rawvideo " + (reel.folder / "luma"));
    return Reel::read(reel.folder / "luma");
}

int at(const std::string& luma, int picture, int width, int height, int x, int y) {
    const auto place =
        (static_cast<std::size_t>(picture) * static_cast<std::size_t>(height) + static_cast<std::size_t>(y)) *
            static_cast<std::size_t>(width) +
        static_cast<std::size_t>(x);
    return place < luma.size() ? static_cast<unsigned char>(luma[place]) : -1;
}

int number_at(const std::string& luma, int picture, int width, int height) {
    int number = 0;
    for (int bit = 0; bit < bits; ++bit)
        if (at(luma, picture, width, height, width / 2, height * (2 * bit + 1) / 24) > 127)
            number += 1 << bit;
    return number;
}

// The picture of 50 a second that record frame k of a shot looks at, by the middle of the frame.
int wanted_number(const Shot& shot, int k) {
    return static_cast<int>(floor(Fraction(2) * (Fraction(shot.from) + Fraction(2 * k + 1, 2) * shot.speed)));
}

// Record frames that show another picture than they should.
int wrong_numbers(const Reel& reel, const std::string& luma, int width, int height) {
    int wrong = 0;
    for (int k = 0; k < static_cast<int>(reel.timeline.length.n); ++k)
        wrong += number_at(luma, k, width, height) !=
                 wanted_number(reel.shots[static_cast<std::size_t>(k / shot_frames)],
                               k % static_cast<int>(shot_frames));
    return wrong;
}

// Pixels from the footage's left end, by the grey there: limited range, 16 + 219 x share.
double place_at(const std::string& luma, int picture, int width, int height, int x) {
    return (at(luma, picture, width, height, x, height * 11 / 12) - 16) * wide / 219.0;
}

const std::vector<Shot> ways{{0, 0, Fraction(1)},
                             {0.5, 20, Fraction(1)},
                             {1, 40, Fraction(1)},
                             {0, 60, Fraction(1, 2)},
                             {0.25, 70, Fraction(1)}};

} // namespace

TEST_CASE("a tall and a square reel show the part of each shot that was asked for, exact to the frame") {
    const Reel reel(ways);
    for (const auto& [shape, width, height] :
         {std::tuple{PreviewShape::tall, 180, 320}, {PreviewShape::square, 320, 320}}) {
        reel.made(shape);
        const auto info = media::probe(reel.path());
        REQUIRE(info);
        CHECK(info->width == width);
        CHECK(info->height == height);
        const auto luma = luma_of(reel);
        CHECK(luma.size() == static_cast<std::size_t>(width * height * 100));
        CHECK(wrong_numbers(reel, luma, width, height) == 0);
        // All of the height is kept, so much of the width.
        const double kept = high * static_cast<double>(width) / height;
        for (std::size_t shot = 0; shot < ways.size(); ++shot)
            for (const int x : {2, width / 4, width / 2, width - 3}) {
                CAPTURE(width, shot, x);
                const double left = (wide - kept) * ways[shot].crop_centre;
                CHECK(place_at(luma, static_cast<int>(shot) * 20 + 7, width, height, x) ==
                      Approx(left + (x + 0.5) * kept / width).margin(3));
            }
    }
}

TEST_CASE("a wide reel of wide footage shows all of it, whatever would be kept") {
    Reel reel(ways);
    const auto before = reel.made(PreviewShape::wide);
    CHECK(wrong_numbers(reel, luma_of(reel), 320, 180) == 0);
    for (auto& event : reel.timeline.video)
        event.crop_centre = 0.5;
    CHECK(reel.made(PreviewShape::wide) == before);
}

TEST_CASE("a reel whose pictures are late by one frame is found wrong in every frame that shows another") {
    const Reel reel({{0.5, 10, Fraction(1)}, {1, 40, Fraction(1)}});
    reel.made(PreviewShape::tall);
    REQUIRE(wrong_numbers(reel, luma_of(reel), 180, 320) == 0);
    const auto late = luma_of(reel, "tpad=start=1:start_mode=clone,trim=end_frame=40");
    CHECK(late.size() == 180 * 320 * 40);
    CHECK(wrong_numbers(reel, late, 180, 320) == 39); // all but the first, which is shown twice
}
