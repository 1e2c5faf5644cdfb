// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "unit/media/clips.h"

#include "downball/preview/preview.h"

// How loud a finished movie is, read by FFmpeg's own meter (its filter ebur128, which shares no code with the library we
// measure by), against what was asked for and what we say of it. Reference sounds after EBU Tech 3341, test cases 1 and 2
// (from memory): a stereo sine of 1 kHz and 20 s at -23 dBFS reads -23.0 LUFS, at -33 dBFS -33.0, both within 0.1. So a
// movie of such a sine at a loudness has its peaks at as many dBFS, which needs no meter of loudness to be seen.

using namespace downball;
using namespace downball::test;

namespace {

struct Reading {
    double lufs = 0, true_peak_db = 0, highest_db = 0; // of samples
};

double last_number(const std::string& text, const std::string& behind) {
    const auto at = text.rfind(behind);
    REQUIRE(at != text.npos);
    return std::stod(text.substr(at + behind.size()));
}

Reading by_ffmpeg(const TempFolder& folder, const std::string& path) {
    const auto told = folder / "told";
    const auto command = "ffmpeg -nostdin -hide_banner -nostats -i " + path +
                         " -vn -af volumedetect,ebur128=peak=true:framelog=verbose -f null - 2> " + told;
    REQUIRE(std::system(command.c_str()) == 0);
    std::ifstream file(told);
    const std::string text{std::istreambuf_iterator<char>(file), {}};
    return {last_number(text, "    I:"), last_number(text, "    Peak:"), last_number(text, "max_volume:")};
}

// 20 s of black over a sound.
struct Reel {
    TempFolder folder;
    Timeline timeline;

    // `sound`: of one side, an expression of t.
    explicit Reel(const std::string& sound) {
        ffmpeg("-f lavfi -i \"aevalsrc='" + sound + "|" + sound + "':s=48000:d=20\" -c:a pcm_s24le " +
               song());
        TimelineMedia media;
        media.path = song();
        media.name = "song.wav";
        timeline.rate = Rate(25);
        timeline.length = Frame{500};
        timeline.media = {media};
        VideoEvent black;
        black.shot = "black";
        black.record = black.source = {Frame{0}, Frame{500}};
        timeline.video = {black};
        timeline.song = {{0, {Frame{0}, Frame{500}}, {Frame{0}, Frame{500}}, "", 0}};
    }
    std::string song() const { return folder / "song.wav"; }
    std::string movie() const { return folder / "reel.mp4"; }
    preview::Made make(double lufs) const {
        auto made = preview::make_preview(timeline, movie(),
                                          {.form = {.longer_side_px = 160, .loudness_lufs = lufs}});
        INFO((made ? "" : to_string(made.error())));
        REQUIRE(made);
        return std::move(*made);
    }
};

Reel sine_of(double dbfs) {
    return Reel(fmt::format("pow(10\\,{}/20)*sin(2*PI*1000*t)", dbfs));
}

constexpr double printed = 0.05 + 1e-9; // FFmpeg rounds to a tenth

} // namespace

TEST_CASE("a sine of EBU Tech 3341 comes out as loud as was asked, by FFmpeg's meter, and we say so") {
    for (const double dbfs : {-23.0, -33.0}) {
        const Reel reel = sine_of(dbfs);
        CHECK(by_ffmpeg(reel.folder, reel.song()).lufs == Approx(dbfs).margin(0.1 + printed));
        for (const double target : {-14.0, -23.0}) {
            CAPTURE(dbfs, target);
            const auto made = reel.make(target);
            const auto read = by_ffmpeg(reel.folder, reel.movie());
            CHECK(read.lufs == Approx(target).margin(0.1 + printed));
            CHECK(made.lufs == Approx(read.lufs).margin(0.1 + printed));
            CHECK(made.true_peak_db == Approx(read.true_peak_db).margin(0.1 + printed));
            // Coding adds some noise to the sine.
            CHECK(read.highest_db == Approx(target).margin(0.5));
            CHECK(read.highest_db > target - 0.15);
        }
    }
}

TEST_CASE(
    "where the sound has high peaks they stay under -1 dBTP by FFmpeg's meter, and the movie is quieter") {
    const Reel reel("0.9*sin(2*PI*300*t)*exp(-60*mod(t\\,0.5))"); // a blow each half second
    const auto made = reel.make(-14);
    const auto read = by_ffmpeg(reel.folder, reel.movie());
    CHECK(read.true_peak_db <= -1 + printed);
    CHECK(read.true_peak_db >= -1.5);
    CHECK(read.lufs < -15);
    CHECK(made.lufs == Approx(read.lufs).margin(0.1 + printed));
    CHECK(made.true_peak_db == Approx(read.true_peak_db).margin(0.2));
}

TEST_CASE("a movie that is half a decibel too loud does not pass as loud as was asked") {
    const Reel reel = sine_of(-33);
    const auto made = reel.make(-23);
    ffmpeg("-i " + reel.movie() + " -c:v copy -af volume=0.5dB " + (reel.folder / "louder.mp4"));
    const auto read = by_ffmpeg(reel.folder, reel.folder / "louder.mp4");
    CHECK(std::abs(read.lufs + 23) > 0.1 + printed);
    CHECK(std::abs(read.lufs - made.lufs) > 0.1 + printed);
}
