// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/camera_day.h"
#include "support/catch.h"
#include "unit/shotlog/media_of.h"

using namespace downball;
using namespace downball::pipeline;

namespace {

constexpr double noon_s = 1784376000; // `date -u -d 2026-07-18T12:00 +%s` of GNU coreutils

MediaInfo file(const std::string& path, double lasts_s, const std::string& created = "") {
    MediaInfo media = media_of(path, lasts_s);
    if (!created.empty()) media.created = created;
    return media;
}

} // namespace

TEST_CASE("recordings are in seconds of life: slow motion is shortened, time lapse stretched") {
    const auto slow = file("a1.mp4", 20, "2026-07-18T12:00:00Z"),
               lapse = file("a2.mp4", 4, "2026-07-18T12:01:00Z"),
               plain = file("a3.mp4", 6, "2026-07-18T12:02:00Z");
    const std::vector<DayClip> clips{
        {"A", &slow, 100, {{8, 0.5}, {4, 0.75}}}, {"A", &lapse, 5, {{1, 1}}}, {"A", &plain, {}, {{2, 1}}}};
    const auto recordings = recordings_of(clips);
    REQUIRE(recordings.size() == 3);
    CHECK(recordings[0].camera == "A");
    CHECK(recordings[0].real_s == Approx(5));
    REQUIRE(recordings[0].contacts.size() == 2);
    CHECK(recordings[0].contacts[0].at_s == Approx(1)); // in order
    CHECK(recordings[0].contacts[0].confidence == 0.75);
    CHECK(recordings[0].contacts[1].at_s == Approx(2));
    CHECK(recordings[1].real_s == Approx(20));
    CHECK(recordings[1].contacts[0].at_s == Approx(5));
    CHECK(recordings[2].real_s == Approx(6));
    REQUIRE(recordings[2].began);
    CHECK(recordings[2].began->at_s == Approx(noon_s + 120.5));
}

TEST_CASE("a camera's files are read in the order of their names, and stay where they were") {
    // Creation times written at the end: taken for begins, the second file would begin within the first. The
    // first plays for 80 s what was filmed in 20.
    const auto first = file("a1.mp4", 80, "2026-07-18T12:00:20Z"),
               second = file("a2.mp4", 30, "2026-07-18T12:00:55Z"),
               third = file("a3.mp4", 5, "2026-07-18T12:01:05Z"), other = file("b.mp4", 5);
    const std::vector<DayClip> clips{
        {"A", &third, {}, {}}, {"B", &other, {}, {}}, {"A", &first, 100, {}}, {"A", &second, {}, {}}};
    const auto recordings = recordings_of(clips);
    REQUIRE(recordings.size() == 4);
    CHECK(recordings[0].began->at_s == Approx(noon_s + 60.5));
    CHECK(!recordings[1].began);
    CHECK(recordings[2].began->at_s == Approx(noon_s + 0.5));
    CHECK(recordings[3].began->at_s == Approx(noon_s + 25.5));
    CHECK(recordings_of({}).empty());
}

TEST_CASE("the offsets that a job gives are those of cameras that have one") {
    job::Job job;
    job.cameras["A"].clock_offset_s = 0;
    job.cameras["B"].clock_offset_s = -12.5;
    job.cameras["C"].distance_m = 10;
    CHECK(given_offsets(job) == std::map<std::string, double>{{"A", 0}, {"B", -12.5}});
}

TEST_CASE("date and time as people write them, the time alone where no date is known") {
    CHECK(date_and_time(noon_s) == "2026-07-18 12:00:00");
    CHECK(date_and_time(noon_s + 12130.99) == "2026-07-18 15:22:10");
    CHECK(date_and_time(57208.5) == "15:53:28");
    CHECK(date_and_time(0) == "00:00:00");
    CHECK(date_and_time(86400 + 10) == "00:00:10"); // labels that have run past midnight
    CHECK(date_and_time(-50) == "23:59:10");        // a clock that was set ahead of midnight
}

namespace {

clocks::Offset offset(const std::string& camera, const std::string& against, double offset_s) {
    return {.camera = camera,
            .against = against,
            .offset_s = offset_s,
            .error_s = 0.3,
            .confidence = 0.97,
            .rallies = 12};
}

std::vector<std::string> told(const std::vector<clocks::Offset>& offsets, const job::Job& job = {}) {
    clocks::DayClock clock;
    for (const auto& one : offsets)
        clock.cameras[one.camera] = one;
    return tell_clocks(clock, job);
}

} // namespace

TEST_CASE("what is known of the cameras' clocks is told, a line each") {
    // What is added to a clock that is behind is above zero.
    CHECK(told({offset("A", "", 0), offset("B", "A", -3601.5), offset("C", "A", 12.25)}) ==
          std::vector<std::string>{"camera B: its clock is 3601.5 s ahead of the day's (within 0.3 s, by 12 "
                                   "rallies that A heard as well; "
                                   "confidence 0.97)",
                                   "camera C: its clock is 12.2 s behind the day's (within 0.3 s, by 12 "
                                   "rallies that A heard as well; "
                                   "confidence 0.97)"});
    auto one = offset("B", "A", 5);
    one.rallies = 1;
    CHECK(told({offset("A", "", 0), one})[0].find("by 1 rally that A heard as well") != std::string::npos);
    auto unsure = offset("B", "A", 5);
    unsure.confidence = 0.49;
    CHECK(told({offset("A", "", 0), unsure}).empty());
    CHECK(told({}).empty());
}

TEST_CASE("a camera of the job is told the offset that would hold its clock fast") {
    job::Job job;
    job.cameras["B"].name = "near";
    auto b = offset("B", "A", -3601.5);
    b.drifts = true;
    b.drift_ppm = 50; // 0.18 s an hour
    const auto lines = told({offset("A", "", 0), b}, job);
    REQUIRE(lines.size() == 1);
    CHECK(lines[0].ends_with(
        "confidence 0.97, drifts by +0.18 s an hour); cameras.B.clock_offset_s: -3601.50 holds it fast"));
}

TEST_CASE("a clock is told against that of the day, whichever camera it was heard with") {
    job::Job job;
    job.cameras["B"].name = "near";
    const auto lines = told({offset("A", "", 100), offset("B", "A", 60)}, job);
    REQUIRE(lines.size() == 1);
    CHECK(lines[0].find("camera B: its clock is 60.0 s behind the day's ") == 0);
    CHECK(lines[0].ends_with("cameras.B.clock_offset_s: 60.00 holds it fast"));
}

TEST_CASE("an offset of a camera that has no clip with a time is told to be idle") {
    job::Job job;
    job.cameras["B"].clock_offset_s = 3;
    const auto lines = told({offset("A", "", 0)}, job);
    REQUIRE(lines.size() == 1);
    CHECK(lines[0].find("cameras.B.clock_offset_s is not used") == 0);
}

TEST_CASE("clocks without a date are of the first day that others tell") {
    MediaInfo dated, undated;
    dated.path = "A/1.mp4";
    dated.created = "2026-07-18T12:00:00Z";
    undated.path = "R/1.wav";
    undated.time_of_day_s = 43200;
    dated.duration_s = undated.duration_s = 5;
    const std::vector<DayClip> clips{{"A", &dated, {}, {}}, {"R", &undated, {}, {}}};
    const auto placed = recordings_of(clips);
    CHECK(placed[1].began->at_s - placed[0].began->at_s == Approx(-0.5).margin(0.01)); // A tells to a second
}
