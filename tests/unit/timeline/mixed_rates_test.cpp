// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "unit/timeline/small_day.h"

#include <algorithm>
#include <cmath>

using namespace downball;
using downball::test::SmallDay;

namespace {

const std::vector<Rate> list_rates{Rate(24000, 1001), Rate(24), Rate(25),          Rate(30000, 1001),
                                   Rate(30),          Rate(50), Rate(60000, 1001), Rate(60)};
const std::vector<Rate> media_rates{
    Rate(24000, 1001), Rate(24), Rate(25),  Rate(30000, 1001),  Rate(30), Rate(50),
    Rate(60000, 1001), Rate(60), Rate(100), Rate(120000, 1001), Rate(120)};

// Record frame k of a shot shows the last picture that is up at source in + (k + 1/2)/rate, in media seconds.
double middle_s(const Timeline& timeline, const VideoEvent& event, std::int64_t k) {
    const auto& file = timeline.media[*event.media];
    return file.media_s(event.source.in, timeline.rate) +
           (static_cast<double>(k) + 0.5) / timeline.rate.per_second();
}

} // namespace

TEST_CASE(
    "EDL rule 13: whatever the rates of media and list, a shot shows the pictures of its media seconds") {
    for (const Rate list : list_rates)
        for (const Rate rate : media_rates) {
            CAPTURE(to_string(list), to_string(rate));
            SmallDay day;
            day.limits.delivery.rate = list;
            day.log.media[0].rate = day.log.media[0].frames.constant = rate;
            day.log.media[0].average_fps = rate.per_second();
            day.shot(0, 2 * list.value().num() / list.value().den(), 37);
            const auto timeline = day.build();
            REQUIRE(timeline);
            const VideoEvent& event = timeline->video[0];
            CHECK(event.source.length() == event.record.length());
            for (std::int64_t k = 0; k < event.record.length().n; ++k) {
                // Picture n is up from n/rate on: n = floor((2 (37 + k) + 1)/2 x rate/list), in whole numbers.
                const Fraction r = rate.value(), l = list.value();
                const std::int64_t up = (2 * (37 + k) + 1) * r.num() * l.den() / (2 * r.den() * l.num());
                CHECK(day.log.media[0].frames.picture_at(middle_s(*timeline, event, k)) == up);
            }
        }
}

TEST_CASE("EDL rule 13: a variable-rate file is counted by its media seconds, and has no rate of its own") {
    for (const Rate list : list_rates) {
        CAPTURE(to_string(list));
        SmallDay day;
        day.limits.delivery.rate = list;
        MediaInfo& phone = day.log.media[0];
        phone.rate.reset();
        phone.frames.constant.reset();
        phone.variable_rate = true;
        phone.average_fps = 30;
        for (int n = 0; n < 300; ++n)
            phone.frames.shown_s.push_back((n + 0.35 * std::sin(n * 1.7)) / 30);
        phone.frames.shown_s[0] = 0;
        phone.start = StartTimecode{"10:00:00:00", Frame{10 * 3600 * 30}, Rate(30), Counting::non_drop};
        day.shot(0, 100, 37);
        const auto timeline = day.build();
        REQUIRE(timeline);
        const auto& file = timeline->media[0];
        CHECK_FALSE(file.rate);
        const VideoEvent& event = timeline->video[0];
        // The label is ten hours of the list's own clock, whatever the pictures' rate.
        CHECK(std::abs(file.label_s(list).to_double() - 36000) < 1e-9);
        for (std::int64_t k = 0; k < 100; ++k) {
            const double at_s = (37.5 + static_cast<double>(k) - file.phase.to_double()) / list.per_second();
            const auto up =
                std::ranges::upper_bound(phone.frames.shown_s, at_s) - phone.frames.shown_s.begin() - 1;
            CHECK(phone.frames.picture_at(middle_s(*timeline, event, k)) == up);
        }
    }
}

TEST_CASE(
    "EDL rule 14: a file that plays slower than life needs no M2, and its stretched sound is left out") {
    for (const double capture_fps : {100.0, 119.88, 240.0}) {
        CAPTURE(capture_fps);
        SmallDay day; // a container of 50 pictures a second
        day.log.takes[0].capture_fps = capture_fps;
        day.shot(0, 40, 38).anchors = {{0, 1, 0}};
        const auto timeline = day.build();
        REQUIRE(timeline);
        CHECK(timeline->video[0].speed == Fraction(1));
        CHECK(timeline->natural.empty());
        CHECK(test::any_note(*timeline, "its sound is stretched"));
    }
    // Within a twentieth it is the rate of the file: a camera that says 50 for 50, or 51 by a slack clock.
    SmallDay day;
    day.log.takes[0].capture_fps = 50;
    day.shot(0, 40, 38).anchors = {{0, 1, 0}};
    CHECK(day.build()->natural.size() == 1);
}
