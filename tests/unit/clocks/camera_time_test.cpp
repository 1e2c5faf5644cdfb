// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/clocks/camera_time.h"

using namespace downball;
using namespace downball::clocks;

namespace {

MediaInfo file(double lasts_s, std::optional<std::string> created, std::optional<double> label_s = {}) {
    MediaInfo info;
    info.duration_s = lasts_s;
    info.created = std::move(created);
    if (label_s)
        info.start = StartTimecode{"", Frame{static_cast<std::int64_t>(*label_s * 25 + 0.5)}, Rate(25)};
    return info;
}

std::vector<std::optional<Began>> read(const std::vector<MediaInfo>& files) {
    std::vector<const MediaInfo*> all;
    std::vector<double> real_s;
    for (const MediaInfo& one : files) {
        all.push_back(&one);
        real_s.push_back(one.duration_s);
    }
    return read_camera_clock(all, real_s);
}

const double noon_s = *seconds_since_1970("2026-07-18T12:00:00Z");

} // namespace

// Worked values: `date -u -d ... +%s` of GNU coreutils.
TEST_CASE("ISO 8601 times are seconds since 1970") {
    CHECK(seconds_since_1970("2026-07-18T12:00:00.000000Z") == 1784376000);
    CHECK(seconds_since_1970("2000-02-29 23:59:59") == 951868799);
    CHECK(seconds_since_1970("2026-07-18T12:00:00+02:00") == 1784368800);
    CHECK(seconds_since_1970("2026-07-18T12:00:00-0330") == 1784388600);
    CHECK(*seconds_since_1970("2026-07-18T12:00:00.25Z") == 1784376000.25);
    for (const char* bad : {"", "yesterday", "2026-07-18", "2026-02-30T12:00:00Z", "2026-07-18T25:00:00Z",
                            "1904-01-01T00:00:00Z", "1970-01-01T00:00:00Z", "2026-07-18T12:00:00 noon"})
        CHECK(!seconds_since_1970(bad));
}

TEST_CASE("creation times in whole seconds are read to a second, from its middle") {
    const auto began = read({file(5, "2026-07-18T12:00:00Z"), file(6, "2026-07-18T12:01:00Z"), file(6, {})});
    REQUIRE(began[0]);
    CHECK(began[0]->at_s == noon_s + 0.5);
    CHECK(began[0]->step_s == 1);
    CHECK(began[1]->at_s == noon_s + 60.5);
    CHECK(!began[2]);
    const auto finer = read({file(5, "2026-07-18T12:00:00.250Z")});
    CHECK(finer[0]->step_s == 0.001);
}

TEST_CASE("creation times at which recordings would overlap are their ends") {
    // Written when each was finished: 20 s from 12:00:00, 30 s from 12:00:25, 5 s from 12:01:00.
    const auto began = read({file(20, "2026-07-18T12:00:20Z"), file(30, "2026-07-18T12:00:55Z"),
                             file(5, "2026-07-18T12:01:05Z")});
    CHECK(began[0]->at_s == noon_s + 0.5);
    CHECK(began[1]->at_s == noon_s + 25.5);
    CHECK(began[2]->at_s == noon_s + 60.5);
}

TEST_CASE("labels that go with the time of day tell to the frame, creation times the day") {
    const double label_s = 14 * 3600; // the camera is set to local time, the container to UTC
    const auto began = read(
        {file(5, "2026-07-18T12:00:00Z", label_s + 0.4), file(5, "2026-07-18T12:01:10Z", label_s + 70.08)});
    REQUIRE(began[0]);
    CHECK(began[0]->step_s == Approx(0.04));
    CHECK(began[0]->at_s == Approx(noon_s + 2 * 3600 + 0.4));
    CHECK(began[1]->at_s - began[0]->at_s == Approx(69.68));
}

TEST_CASE("labels past midnight are of the next day") {
    const auto told = read({file(5, "2026-07-18T23:59:50Z", 86390), file(5, "2026-07-19T00:00:30Z", 30)});
    CHECK(told[1]->at_s - told[0]->at_s == Approx(40));
    const auto untold = read({file(5, {}, 86390), file(5, {}, 30), file(5, {}, 300)});
    CHECK(untold[1]->at_s - untold[0]->at_s == Approx(40));
    CHECK(untold[2]->at_s - untold[1]->at_s == Approx(270));
}

TEST_CASE("labels that run on from file to file, or begin anew in each, are no clock") {
    const auto run = read({file(5, {}, 3600), file(8, {}, 3605), file(4, {}, 3613)});
    CHECK((!run[0] && !run[1] && !run[2]));
    const auto anew = read({file(5, "2026-07-18T12:00:00Z", 0), file(8, "2026-07-18T12:03:00Z", 0)});
    CHECK(anew[1]->at_s == noon_s + 180.5);
}

TEST_CASE("labels out of step with the creation times are no clock") {
    const auto began = read({file(5, "2026-07-18T12:00:00Z", 100), file(5, "2026-07-18T12:05:00Z", 160),
                             file(5, "2026-07-18T12:09:00Z", 700)});
    CHECK(began[0]->at_s == noon_s + 0.5);
    CHECK(began[0]->step_s == 1);
}

TEST_CASE("no file is no clock") {
    CHECK(read({}).empty());
    CHECK(!read({file(5, {})})[0]);
}

TEST_CASE("one creation time in all files tells nothing, for no camera records twice at once") {
    for (const auto& one : read({file(8, "2026-07-18T12:00:00Z"), file(8, "2026-07-18T12:00:00Z"),
                                 file(8, "2026-07-18T12:00:00Z"), file(8, "2026-07-18T12:00:00Z")}))
        CHECK(!one);
}

TEST_CASE("a recorder's time of day is a clock, in one file as well, with a date or without") {
    MediaInfo sound = file(600, {});
    sound.time_of_day_s = 15 * 3600 + 0.25;
    CHECK(read({sound})[0]->at_s == Approx(15 * 3600 + 0.25).margin(0.001));
    CHECK(read({sound})[0]->step_s < 0.01);
    sound.created = "2026-07-18T15:00:00";
    CHECK(read({sound})[0]->at_s == Approx(noon_s + 3 * 3600 + 0.25).margin(0.001));
}

TEST_CASE("a file that has only one of the two clocks is placed by it") {
    const auto began = read({file(5, "2026-07-18T12:00:00Z", 43200), file(5, "2026-07-18T12:05:00Z", 43500),
                             file(5, {}, 43600), file(5, "2026-07-18T12:08:00Z")});
    CHECK(began[1]->step_s == Approx(0.04));
    REQUIRE(began[2]);
    CHECK(began[2]->at_s - began[0]->at_s == Approx(400));
    REQUIRE(began[3]);
    CHECK(began[3]->at_s - began[0]->at_s == Approx(480).margin(0.6));
    CHECK(began[3]->step_s == 1);
}
