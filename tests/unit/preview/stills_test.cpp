// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "unit/preview/counter_reel.h"

#include "downball/preview/stills.h"

#include <thread>

using namespace downball;
using namespace downball::test;

namespace {

constexpr int width = 208, height = 116;

struct Reel : CounterReel {
    preview::Stills make(const std::vector<Frame>& wanted, const preview::StillForm& form = {}) const {
        auto made = preview::stills(timeline, wanted, form);
        INFO((made ? "" : to_string(made.error())));
        REQUIRE(made);
        return *made;
    }
    // As the ffmpeg program decodes it; luma alone.
    media::Picture decoded(const std::string& jpeg) const {
        std::ofstream(folder / "one.jpg", std::ios::binary) << jpeg;
        ffmpeg("-y -i " + (folder / "one.jpg") + " -f rawvideo -pix_fmt gray " + (folder / "one.raw"));
        std::ifstream file(folder / "one.raw", std::ios::binary);
        const std::string bytes{std::istreambuf_iterator<char>(file), {}};
        REQUIRE(bytes.size() == width * height);
        media::Picture picture(width, height);
        std::copy(bytes.begin(), bytes.end(), picture.bytes.begin());
        return picture;
    }
};

} // namespace

TEST_CASE("stills are the pictures that the preview shows at these record frames, whatever their order") {
    const Reel reel;
    const auto made = reel.make({Frame{99}, Frame{74}, Frame{25}, Frame{3}, Frame{75}, Frame{40}, Frame{25}});
    CHECK(made.notes.empty());
    REQUIRE(made.pictures.size() == 6);
    // 12 + k + 1/2 list frames of 1/25 s are 24 + 2k + 1 pictures of 1/50 s; 50 + (k + 1/2)/2 at half the speed.
    for (const auto& [frame, number] :
         {std::pair{3, 0}, {25, 25}, {40, 55}, {74, 123}, {75, 100}, {99, 124}}) {
        INFO(frame);
        REQUIRE(made.pictures.contains(Frame{frame}));
        CHECK(number_in(reel.decoded(made.pictures.at(Frame{frame}))) == number);
    }
    CHECK(reel.make({Frame{-1}, Frame{100}}).pictures.empty());
    CHECK(reel.make({}).pictures.empty());
}

TEST_CASE("the same stills come out byte for byte, alone or with others") {
    const Reel reel;
    std::vector<Frame> all;
    for (int k = 0; k < 100; k += 3)
        all.push_back(Frame{k});
    const auto many = reel.make(all);
    CHECK(many.pictures == reel.make(all).pictures);
    for (const int k : {27, 60, 99})
        CHECK(many.pictures.at(Frame{k}) == reel.make({Frame{k}}).pictures.at(Frame{k}));
}

TEST_CASE("a still of a clip that cannot be decoded is a slate, and a note a shot") {
    const Reel reel;
    std::ofstream(reel.folder / "clip.mov", std::ios::binary) << std::string(5000, 'x');
    const auto made = reel.make({Frame{3}, Frame{30}, Frame{31}, Frame{80}});
    REQUIRE(made.pictures.size() == 4);
    REQUIRE(made.notes.size() == 2);
    CHECK(made.notes[0].find("clip.mov: a slate stands for 2 stills of shot") == 0);
    const auto slate = reel.decoded(made.pictures.at(Frame{30}));
    CHECK(slate.bytes[0] > 20); // grey, not black; the full range
    CHECK(slate.bytes[0] < 60);
    CHECK(*std::max_element(slate.bytes.begin(), slate.bytes.begin() + width * height) > 150); // the name
    CHECK(reel.decoded(made.pictures.at(Frame{3})).bytes[0] == 0);
}

TEST_CASE("pictures of another shape than 16:9 stand whole between black bars") {
    const Reel reel;
    ffmpeg("-y -f lavfi -i color=white:s=120x120:r=50:d=4 -c:v libx264 -pix_fmt yuv420p " +
           (reel.folder / "clip.mov"));
    const auto still = reel.decoded(reel.make({Frame{30}}).pictures.at(Frame{30}));
    const auto at = [&](int x, int y) { return still.bytes[static_cast<std::size_t>(y * width + x)]; };
    CHECK(at(20, 58) < 10);
    CHECK(at(187, 58) < 10);
    CHECK(at(60, 2) > 245);
    CHECK(at(147, 113) > 245);
}

TEST_CASE("a picture full of detail fits eight thousand bytes") {
    Reel reel;
    // The border of the Mandelbrot set: detail of every size.
    ffmpeg("-y -f lavfi -i mandelbrot=s=832x464:r=50:start_scale=0.01 -frames:v 60 -c:v libx264 -preset "
           "veryfast "
           "-crf 18 -pix_fmt yuv420p " +
           (reel.folder / "clip.mov"));
    for (const auto& [frame, jpeg] : reel.make({Frame{26}, Frame{36}}).pictures) {
        CHECK(jpeg.size() < 8192);
        CHECK(jpeg.size() > 3000); // not bought by blur
    }
}

TEST_CASE("stills end when they are asked to stop, before and while they are made") {
    const Reel reel;
    const std::vector<Frame> wanted{Frame{3}, Frame{30}, Frame{80}};
    std::stop_source stop;
    stop.request_stop();
    auto made = preview::stills(reel.timeline, wanted, {}, {{}, stop.get_token()});
    REQUIRE_FALSE(made);
    CHECK(made.error().fault == Fault::interrupted);
    std::stop_source later;
    const std::jthread stopper([&] { later.request_stop(); });
    made = preview::stills(reel.timeline, wanted, {}, {{}, later.get_token()});
    if (!made) CHECK(made.error().fault == Fault::interrupted);
}
