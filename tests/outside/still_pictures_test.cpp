// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "unit/media/clips.h"

#include "downball/media/picture_reader.h"
#include "downball/preview/still_pictures.h"

#include <fstream>
#include <functional>
#include <sstream>

// Black and frozen stretches beside those that FFmpeg's filters blackdetect and freezedetect tell of the same file.

using namespace downball;
using namespace downball::test;
using preview::BlackMeter;
using preview::FreezeMeter;

namespace {

constexpr int rate = 25, frames = 200;

// A moving picture whose frames [from, to) each filter draws otherwise or holds.
std::string clip(const TempFolder& folder, const std::string& filters) {
    const auto path = folder / "clip.mkv"; // without loss: FFV1
    ffmpeg(
        fmt::format("-f lavfi -i \"testsrc2=s=320x180:r={}:d={},format=yuv420p,{}\" -frames:v {} -c:v ffv1 "
                    "-color_range tv -colorspace bt709 {}",
                    rate, frames / rate, filters, frames, path));
    return path;
}

// What follows `word` in the lines of the filter, as frames.
std::vector<std::int64_t> told(const std::string& log, const std::string& word) {
    std::vector<std::int64_t> found;
    for (std::size_t at = log.find(word); at != log.npos; at = log.find(word, at + 1))
        found.push_back(std::llround(std::stod(log.substr(at + word.size())) * rate));
    return found;
}

// The filter tells the last stretch's end only where another picture follows; else it is that of the file.
std::vector<FrameRange> by_filter(const TempFolder& folder, const std::string& filter,
                                  const std::string& from, const std::string& to) {
    const auto log = folder / "log.txt";
    const auto command = fmt::format("ffmpeg -nostdin -hide_banner -i {} -vf {} -f null - 2> {}",
                                     folder / "clip.mkv", filter, log);
    REQUIRE(std::system(command.c_str()) == 0);
    std::stringstream text;
    text << std::ifstream(log).rdbuf();
    const auto begin = told(text.str(), from);
    auto end = told(text.str(), to);
    if (end.size() < begin.size()) end.push_back(frames);
    std::vector<FrameRange> ranges;
    for (std::size_t i = 0; i < begin.size(); ++i)
        ranges.push_back({Frame{begin[i]}, Frame{end[i]}});
    return ranges;
}

template <class Meter>
std::vector<FrameRange> by_meter(const std::string& path, Meter meter) {
    auto reader = media::PictureReader::open(path, {.width = 320, .height = 180, .rate = Rate(rate)});
    REQUIRE(reader);
    for (int k = 0; k < frames; ++k) {
        const auto picture = reader->picture_at(Fraction(2 * k + 1, 2 * rate));
        REQUIRE(picture);
        meter.push(**picture);
    }
    return meter.stretches();
}

std::string words(const std::vector<FrameRange>& ranges) {
    std::string all;
    for (const FrameRange& range : ranges)
        all += fmt::format("{}-{} ", range.in.n, range.out.n);
    return all;
}

} // namespace

TEST_CASE("black pictures are those of FFmpeg's blackdetect, to the frame") {
    const TempFolder folder;
    // Black of luma 16; of 37 and of 38, on both sides of the limit; a spot that fills 1 % and one that fills 4 %.
    const auto path = clip(
        folder,
        "lutyuv=y=16:u=128:v=128:enable='between(n,20,39)',lutyuv=y=37:u=128:v=128:enable='between(n,60,69)',"
        "lutyuv=y=38:u=128:v=128:enable='between(n,90,99)',lutyuv=y=16:u=128:v=128:enable='between(n,110,149)"
        "',"
        "drawbox=x=0:y=0:w=32:h=18:color=white:t=fill:enable='between(n,110,129)',"
        "drawbox=x=0:y=0:w=64:h=36:color=white:t=fill:enable='between(n,130,149)',"
        "lutyuv=y=16:u=128:v=128:enable='between(n,170,171)+between(n,180,180)+between(n,190,200)'");
    const auto found = by_meter(path, BlackMeter());
    INFO("found " << words(found));
    CHECK(words(found) == "20-40 60-70 110-130 170-172 190-200 ");
    const auto theirs =
        by_filter(folder, fmt::format("blackdetect=d={}", 1.9 / rate), "black_start:", "black_end:");
    INFO("theirs " << words(theirs));
    // That filter ends the last stretch with the last picture's beginning, where the file ends.
    REQUIRE(theirs.size() == found.size());
    for (std::size_t i = 0; i < found.size(); ++i) {
        CHECK(found[i].in == theirs[i].in);
        CHECK(std::abs((found[i].out - theirs[i].out).n) <= (i + 1 == found.size() ? 1 : 0));
    }
}

TEST_CASE("pictures that stand still are those of FFmpeg's freezedetect, to the frame") {
    const TempFolder folder;
    // Pictures 30, 80, 110 and 150 are held for 25, 12, 14 and 40 frames: those after them are taken out, and filled up.
    const auto path =
        clip(folder, fmt::format("select='not(between(n,31,54)+between(n,81,91)+between(n,111,123)+"
                                 "between(n,151,189))',fps={}",
                                 rate));
    const auto found = by_meter(path, FreezeMeter(Rate(rate)));
    const auto theirs = by_filter(folder, "freezedetect=n=-60dB:d=0.5", "freeze_start: ", "freeze_end: ");
    INFO("found " << words(found));
    INFO("theirs " << words(theirs));
    CHECK(words(found) == "30-55 110-124 150-190 ");
    CHECK(found == theirs);
}

// On both sides of the tolerance: luma that is a step of 1 off in one of four pixels differs by 0.25 of 256 on
// average, which is less than 0.001 x 256 = 0.256; in one of three, by more.
TEST_CASE("the tolerance for what stands still is 0.001 of the range") {
    for (const auto& [every, still] : {std::pair{4, true}, {3, false}}) {
        FreezeMeter meter{Rate(25)};
        for (int k = 0; k < 50; ++k) {
            media::Picture picture(120, 60, 100);
            for (int i = 0; i < 120 * 60 && k % 2 == 1; i += every)
                ++picture.bytes[static_cast<std::size_t>(i)];
            meter.push(picture);
        }
        CHECK(meter.stretches().empty() != still);
    }
}
