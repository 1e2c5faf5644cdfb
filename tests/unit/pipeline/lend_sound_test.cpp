// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/lend_sound.h"
#include "support/catch.h"
#include "unit/shotlog/media_of.h"

#include <fmt/format.h>

using namespace downball;
using namespace downball::pipeline;

namespace {

constexpr double ten_s = 36000; // 10:00:00

// Camera A stands 34.32 m from the court, 0.1 s of sound at 20 degrees (343.2 m/s, ISO 9613-1:1993), and its files
// have their sound 20 ms late. Camera B hears nothing, and by A.
struct Day {
    job::Job job;
    shotlog::Footage footage;
    std::string csv = "id,file,camera,kind,contacts,distance_m,capture_fps\n";

    Day() {
        job.cameras["A"].sound_offset_s = 0.02;
        job.cameras["A"].distance_m = 34.32;
        job.cameras["B"].sound_from = "A";
        job.cameras["B"].distance_m = 80;
        job.cameras["B"].sound_offset_s = 0.5;
    }

    MediaInfo& file(const std::string& name, std::optional<double> label_s, double lasts_s = 20) {
        MediaInfo media = media_of(name, lasts_s);
        if (label_s) media.start = StartTimecode{"", Frame{std::llround(*label_s * 25)}, Rate(25)};
        return footage.media[name] = media;
    }
    MediaInfo& deaf(const std::string& name, std::optional<double> label_s, double lasts_s = 20) {
        MediaInfo& media = file(name, label_s, lasts_s);
        media.audio.reset();
        return media;
    }
    void heard(const std::string& name, const std::vector<double>& contacts) {
        for (const double at_s : contacts)
            footage.heard[name].contacts.push_back({.sound_s = at_s, .confidence = 0.9, .strength = 0.9});
    }
    void row(const std::string& id, const std::string& name, const std::string& contacts = "",
             const std::string& rest = ",", const std::string& kind = "action") {
        csv += fmt::format("{},{},{},{},{},{}\n", id, name, name.substr(0, 1), kind, contacts, rest);
    }
    shotlog::Log log() const {
        const auto read = shotlog::read_log(csv, "log.csv", {});
        INFO((read ? std::string() : to_string(read.error())));
        REQUIRE(read);
        return *read;
    }
    ShotLog bound() {
        const auto rows = log();
        lend_sound(rows, job, footage);
        for (const auto& [id, camera] : job.cameras)
            footage.cameras[id] = {camera.sound_offset_s, camera.distance_m, camera.capture_fps};
        const auto takes = shotlog::bind(rows, footage);
        INFO((takes ? std::string() : to_string(takes.error())));
        REQUIRE(takes);
        return *takes;
    }
};

const Take& take(const ShotLog& log, const std::string& id) {
    const auto found = std::ranges::find(log.takes, id, &Take::id);
    REQUIRE(found != log.takes.end());
    return *found;
}

std::vector<double> pictures(const ShotLog& log, const std::string& id) {
    std::vector<double> at_s;
    for (const Impact& impact : take(log, id).impacts)
        at_s.push_back(impact.picture_s);
    return at_s;
}

void check_near(const std::vector<double>& found, const std::vector<double>& wanted, double within = 1e-6) {
    REQUIRE(found.size() == wanted.size());
    for (std::size_t i = 0; i < found.size(); ++i)
        CHECK(found[i] == Approx(wanted[i]).margin(within));
}

bool any_note(const ShotLog& log, const std::string& file, const std::string& words) {
    return std::ranges::any_of(log.notes, [&](const std::string& note) {
        return note.starts_with(file) && note.find(words) != std::string::npos;
    });
}

} // namespace

TEST_CASE("a silent clip has the contacts that the other camera heard, by the way of the sound to that one") {
    Day day;
    day.file("A/1.mp4", ten_s);
    day.heard("A/1.mp4", {1, 5, 8.5});
    day.deaf("B/1.mp4", ten_s + 2, 5);
    day.row("T001", "A/1.mp4");
    day.row("T002", "B/1.mp4", "", "80,");
    const auto log = day.bound();
    CHECK(day.footage.heard_by == std::map<std::string, std::string>{{"B/1.mp4", "A"}});
    // Heard 3 s after B's first picture, seen 0.12 s before. The first is before B began, the last after its end.
    check_near(pictures(log, "T002"), {2.88});
    CHECK(take(log, "T002").impacts[0].sound_s == Approx(3));
    CHECK(take(log, "T002").impacts[0].confidence == 0.9);
    check_near(pictures(log, "T001"), {0.88, 4.88, 8.38});
    CHECK(!any_note(log, "B/1.mp4", "hears by"));
}

TEST_CASE("clocks that are apart are brought together by the job's offsets") {
    Day day;
    day.job.cameras["A"].clock_offset_s = 10;
    day.job.cameras["B"].clock_offset_s = -3600;
    day.file("A/1.mp4", ten_s);
    day.heard("A/1.mp4", {5});
    day.deaf("B/1.mp4", ten_s + 3600 + 12);
    day.row("T001", "A/1.mp4");
    day.row("T002", "B/1.mp4");
    check_near(pictures(day.bound(), "T002"), {2.88});
}

TEST_CASE("in a slow-motion clip lent contacts lie where its pictures show them") {
    for (const bool of_row : {true, false}) {
        CAPTURE(of_row);
        Day day;
        day.file("A/1.mp4", ten_s);
        day.heard("A/1.mp4", {5});
        day.deaf("B/1.mp4", ten_s + 2, 20); // 5 s of life, filmed at 100 pictures a second
        if (!of_row) day.job.cameras["B"].capture_fps = 100;
        day.row("T001", "A/1.mp4");
        day.row("T002", "B/1.mp4", "", of_row ? ",100" : ",");
        if (!of_row) day.footage.cameras["B"].capture_fps = 100;
        const auto log = day.bound();
        // 2.88 s of life after the first picture, four times as long in the file.
        check_near(pictures(log, "T002"), {11.52});
        CHECK(take(log, "T002").impacts[0].sound_s == Approx(12));
    }
}

TEST_CASE("clocks read to a second lend nothing and say so") {
    for (const bool lender : {true, false}) {
        CAPTURE(lender);
        Day day;
        MediaInfo &a = day.file("A/1.mp4", ten_s), &b = day.deaf("B/1.mp4", ten_s + 2);
        (lender ? a : b).start.reset();
        (lender ? a : b).created = "2026-07-18T10:00:01Z";
        day.heard("A/1.mp4", {5});
        day.row("T001", "A/1.mp4");
        day.row("T002", "B/1.mp4");
        const auto log = day.bound();
        CHECK(take(log, "T002").impacts.empty());
        CHECK(any_note(log, "B/1.mp4",
                       fmt::format("hears by A, but files of {} do not tell the time to the frame",
                                   lender ? "A" : "B")));
    }
}

TEST_CASE("a file of the lender without a clock takes nothing from what its others lend") {
    Day day;
    // Labels and creation times that go along with each other are a clock; the second file of A has neither.
    day.file("A/1.mp4", ten_s).created = "2026-07-18T10:00:00Z";
    day.file("A/2.mp4", {});
    day.file("A/3.mp4", ten_s + 600).created = "2026-07-18T10:10:00Z";
    day.heard("A/1.mp4", {5});
    day.heard("A/2.mp4", {5});
    day.deaf("B/1.mp4", ten_s + 2).created = "2026-07-18T10:00:02Z";
    day.deaf("B/2.mp4", ten_s + 300).created = "2026-07-18T10:05:00Z";
    day.row("T001", "A/1.mp4");
    day.row("T002", "B/1.mp4");
    day.row("T003", "A/2.mp4");
    day.row("T004", "A/3.mp4");
    day.row("T005", "B/2.mp4", "", ",", "cutaway");
    const auto log = day.bound();
    check_near(pictures(log, "T002"), {2.88});
    CHECK(!any_note(log, "B/1.mp4", "nothing is lent"));
}

TEST_CASE("a lender that was not running is told") {
    for (const double after_s : {20.0, -20.0}) { // each as long as that
        CAPTURE(after_s);
        Day day;
        day.file("A/1.mp4", ten_s);
        day.heard("A/1.mp4", {0.01, 5});
        day.deaf("B/1.mp4", ten_s + after_s);
        day.row("T001", "A/1.mp4");
        day.row("T002", "B/1.mp4");
        const auto log = day.bound();
        CHECK(take(log, "T002").impacts.empty());
        CHECK(any_note(log, "B/1.mp4", "hears by A, which recorded nothing at that time"));
    }
}

TEST_CASE("a row with contacts of its own is left alone, and so is a clip with sound") {
    Day day;
    day.file("A/1.mp4", ten_s);
    day.heard("A/1.mp4", {5});
    day.deaf("B/1.mp4", ten_s + 2);
    day.file("B/2.mp4", ten_s + 2.2);
    day.row("T001", "A/1.mp4");
    day.row("T002", "B/1.mp4", "7.000:0.80", "34.32,");
    day.row("T003", "B/1.mp4", "-");
    day.row("T004", "B/2.mp4");
    day.job.cameras["B"].sound_offset_s = 0;
    const auto log = day.bound();
    check_near(pictures(log, "T002"), {6.9}); // by its own distance
    CHECK(take(log, "T003").impacts.empty());
    CHECK(take(log, "T004").impacts.empty());
    CHECK(!day.footage.heard.contains("B/2.mp4"));
    CHECK(!day.footage.heard_by.contains("B/2.mp4"));
}

TEST_CASE("all that the lender's rows have is lent, once") {
    Day day;
    day.file("A/1.mp4", ten_s);
    day.deaf("B/1.mp4", ten_s + 2);
    day.row("T001", "A/1.mp4", "5.000:0.90");
    day.row("T002", "A/1.mp4", "5.000:0.90 9.000:0.90");
    day.row("T003", "A/1.mp4", "-");
    day.heard("A/1.mp4", {5.0004}); // by the row that nobody has listened to, before a cell rounds it
    day.row("T005", "A/1.mp4");
    day.row("T004", "B/1.mp4");
    check_near(pictures(day.bound(), "T004"), {2.88, 6.88});
}

TEST_CASE("a recorder lends by the time of day in its files") {
    Day day;
    MediaInfo& sound = day.file("A/1.wav", {});
    sound.has_video = false;
    sound.rate.reset();
    sound.time_of_day_s = ten_s;
    day.heard("A/1.wav", {5});
    day.deaf("B/1.mp4", ten_s + 2);
    day.row("T001", "A/1.wav", "", ",", "sound");
    day.row("T002", "B/1.mp4");
    // A label leaves open where in its frame it was taken: half a frame at most.
    check_near(pictures(day.bound(), "T002"), {2.88}, 0.02);
}

TEST_CASE("nothing is lent where no camera asks for it") {
    Day day;
    day.job.cameras["B"].sound_from.clear();
    day.file("A/1.mp4", ten_s);
    day.heard("A/1.mp4", {5});
    day.deaf("B/1.mp4", ten_s + 2);
    day.row("T001", "A/1.mp4");
    day.row("T002", "B/1.mp4");
    const auto log = day.bound();
    CHECK(take(log, "T002").impacts.empty());
    CHECK(day.footage.heard_by.empty());
    CHECK(day.footage.heard.size() == 1);
}
