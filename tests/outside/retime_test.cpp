// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "unit/timeline/small_day.h"

#include "downball/model/m2.h"
#include "downball/write/edl.h"

#include <fmt/format.h>

// Slow motion and edits by three and four points. Speeds follow from the rates of ITU-R BT.709-6 and their
// high-speed multiples; the points from editing glossaries.

using namespace downball;
using test::SmallDay;

namespace {

struct Slow {
    Rate capture, list;
    Fraction speed;
    std::int64_t tenths; // of the M2 number
};

const Rate film(24000, 1001), ntsc(30000, 1001), ntsc_120(120000, 1001), ntsc_60(60000, 1001);

// Capture x timeline -> every picture once. 200/1001 is 19.980 %, 5/24 20.8333 %, 1001/4800 20.8542 %.
const Slow table[] = {{Rate(120), film, {200, 1001}, 48},     {Rate(120), Rate(24), {1, 5}, 48},
                      {Rate(120), Rate(25), {5, 24}, 52},     {Rate(120), ntsc, {250, 1001}, 75},
                      {Rate(120), Rate(30), {1, 4}, 75},      {ntsc_120, film, {1, 5}, 48},
                      {ntsc_120, Rate(24), {1001, 5000}, 48}, {ntsc_120, Rate(25), {1001, 4800}, 52},
                      {ntsc_120, ntsc, {1, 4}, 75},           {ntsc_120, Rate(30), {1001, 4000}, 75},
                      {Rate(240), Rate(24), {1, 10}, 24},     {Rate(240), Rate(25), {5, 48}, 26},
                      {Rate(240), Rate(30), {1, 8}, 37},      {Rate(100), Rate(24), {6, 25}, 58},
                      {Rate(100), Rate(25), {1, 4}, 62},      {Rate(100), Rate(30), {3, 10}, 90},
                      {Rate(60), Rate(24), {2, 5}, 96},       {Rate(60), Rate(25), {5, 12}, 104},
                      {Rate(60), Rate(30), {1, 2}, 150},      {ntsc_60, film, {2, 5}, 96},
                      {ntsc_60, ntsc, {1, 2}, 150},           {Rate(50), Rate(24), {12, 25}, 115},
                      {Rate(50), Rate(25), {1, 2}, 125},      {Rate(50), Rate(30), {3, 5}, 180}};

// A file of 40 s at the capture rate in a list of the other.
SmallDay day_at(Rate capture, Rate list) {
    SmallDay day;
    day.log.media[0].rate = day.log.media[0].frames.constant = capture;
    day.log.media[0].duration_s = 40;
    day.song.duration_s = 60;
    day.limits.delivery.rate = list;
    return day;
}

} // namespace

TEST_CASE("C2.1: at list rate over capture rate each picture of the file is shown once, in order") {
    for (const Slow& slow : table) {
        INFO(to_string(slow.capture) << " in " << to_string(slow.list));
        const Fraction speed = slow.list.value() / slow.capture.value();
        CHECK(speed == slow.speed);
        auto day = day_at(slow.capture, slow.list);
        const std::int64_t length = 30; // short enough for the M2 field's rounding to move no picture
        day.shot(0, length, 0, speed);
        const auto timeline = day.build();
        REQUIRE(timeline);
        const VideoEvent& event = timeline->video[0];
        for (std::int64_t k = 0; k < length; ++k) {
            const double at_s = (Fraction(2 * k + 1, 2) * event.speed / slow.list.value()).to_double();
            REQUIRE(day.log.media[0].frames.picture_at(at_s) == k);
        }
        const auto list = write::edl(*timeline)->at(0);
        const auto number = fmt::format(" {:03}.{} ", slow.tenths / 10, slow.tenths % 10);
        CHECK(list.find("M2   C10001  " + number) != std::string::npos);
    }
}

TEST_CASE("C2.2: a second shot at 120 lasts 120 record frames at that speed") {
    const std::pair<Rate, double> lasts[] = {
        {Rate(24), 5.000}, {film, 5.005}, {Rate(25), 4.800}, {ntsc, 4.004}, {Rate(30), 4.000}};
    for (const auto& [list, seconds] : lasts) {
        auto day = day_at(Rate(120), list);
        day.shot(0, 120, 0, list.value() / Fraction(120));
        const auto timeline = day.build();
        REQUIRE(timeline);
        CHECK(timeline->video[0].source.length() == nearest_frame(1.0, list));
        CHECK(to_seconds(timeline->length, list) == Approx(seconds).margin(1e-9));
    }
}

TEST_CASE("C2.3: 0.25 s before the contact at 20 % are 30 record frames at 24") {
    auto day = day_at(Rate(120), Rate(24));
    day.beats.beats[2].seconds = 1.25;
    day.shot(0, 60, 42, Fraction(1, 5)).anchors = {{0, 2, 0}}; // contact at 2.0 s, list frame 48
    const auto timeline = day.build();
    REQUIRE(timeline);
    CHECK(timeline->video[0].contacts[0].at == Frame{30});
}

TEST_CASE("C3.13: source 100 to 148 laid at record 240 ends at 288") {
    auto day = day_at(Rate(24), Rate(24));
    day.shot(0, 240, 0);
    day.shot(0, 48, 100);
    const auto timeline = day.build();
    REQUIRE(timeline);
    CHECK(timeline->video[1].record == FrameRange{{240}, {288}});
    CHECK(timeline->video[1].source == FrameRange{{100}, {148}});
}

TEST_CASE("C3.14: 60 source frames into 120 are 50 %, 48 into 48 are 100 % and no M2") {
    auto day = day_at(Rate(24), Rate(24));
    day.shot(0, 120, 0, Fraction(60, 120));
    day.shot(0, 48, 100, Fraction(48, 48));
    const auto timeline = day.build();
    REQUIRE(timeline);
    CHECK(timeline->video[0].source.length() == Frame{60});
    const auto list = write::edl(*timeline)->at(0);
    CHECK(list.find("M2   C10001   012.0 ") != std::string::npos); // half of 24
    CHECK(list.find("M2", list.find("M2") + 2) == std::string::npos);
}
