// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "support/temp_folder.h"

#include "downball/media/probe.h"
#include "downball/model/source_count.h"
#include "downball/timeline/build.h"
#include "downball/write/edl.h"
#include "downball/write/otio.h"

#include <cstdlib>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>

// Lists over real files, followed by readers and a renderer that share no code with us: conform_render.py
// checks every rule, lays both lists out frame by frame, lets ffmpeg show each and compares the pictures.

using namespace downball;

namespace {

namespace fs = std::filesystem;

bool run(const std::string& command) {
    return std::system(command.c_str()) == 0;
}

bool run_python(const std::string& arguments) {
    return run("PYTHONDONTWRITEBYTECODE=1 /usr/bin/python3 " + std::string(DOWNBALL_SOURCE_DIR) +
               "/tests/support/" + arguments);
}

struct Clip {
    const char* name;
    const char* rate;
    const char* label;
};

// Real footage has start labels of every kind; each clip lasts four seconds and no two pictures of it are
// alike.
constexpr Clip clips[] = {{"c25.mp4", "25", "10:00:00:10"},          {"c50.mp4", "50", "10:00:00:21"},
                          {"c100.mp4", "100", "09:59:59:99"},        {"c120.mp4", "120", nullptr},
                          {"drop.mov", "30000/1001", "00:59:59;20"}, {"late.mp4", "25", "23:59:59:00"}};

// The footage once for all tests: made by ffmpeg, known to us through our own probe alone.
struct Footage {
    test::TempFolder folder;
    ShotLog log;
    MediaInfo song;

    Footage() {
        fs::create_directories(folder / "cards");
        fs::create_directories(folder / "out");
        for (const Clip& clip : clips) {
            const auto path = folder / ("cards/" + std::string(clip.name));
            const std::string label = clip.label ? fmt::format("-timecode '{}' ", clip.label) : "";
            REQUIRE(run(
                fmt::format("ffmpeg -nostdin -v error -f lavfi -i testsrc2=s=160x90:r={}:d=4 -f lavfi -i "
                            "sine=d=4 -c:v libx264 -preset ultrafast -bf 2 -pix_fmt yuv420p -c:a aac {}'{}'",
                            clip.rate, label, path)));
            Take take;
            take.id = fmt::format("T{}", log.takes.size());
            take.kind = Kind::action;
            take.media = log.media.size();
            take.out_s = 4;
            for (const double seconds : {0.8, 1.7, 2.6}) {
                Impact impact;
                impact.id = fmt::format("{}#{:.0f}", take.id, seconds * 1000);
                impact.picture_s = seconds;
                impact.sound_s = seconds + 0.035;
                take.impacts.push_back(impact);
            }
            log.takes.push_back(take);
            const auto info = media::probe(path);
            REQUIRE(info);
            log.media.push_back(*info);
        }
        const auto song_path = folder / "song.wav";
        REQUIRE(run("ffmpeg -nostdin -v error -f lavfi -i sine=d=300 -ar 8000 '" + song_path + "'"));
        const auto info = media::probe(song_path);
        REQUIRE(info);
        song = *info;
    }
};

Footage& footage() {
    static Footage made;
    return made;
}

struct Cut {
    CutPlan plan;
    BeatGrid beats;
    Limits limits;

    explicit Cut(Rate rate, Counting counting) {
        limits.delivery.rate = rate;
        limits.delivery.counting = counting;
        limits.delivery.start = convert(Frame{3600 * 25}, Rate(25), rate);
        beats.duration_s = 300;
    }
    // A shot of a take; action shots hold their first contact 5 record frames in, on a beat made for them.
    void shot(std::size_t take, std::int64_t length, Fraction speed, double contact_s) {
        const Rate rate = limits.delivery.rate;
        PlannedShot shot;
        shot.id = fmt::format("T{}@{}", take, plan.shots.size());
        shot.take = take;
        shot.record = {plan.length, plan.length + Frame{length}};
        shot.speed = speed;
        const auto count = count_source(footage().log.media[footage().log.takes[take].media], rate);
        const Frame contact = count.nearest(contact_s);
        shot.source_in = contact - Frame{floor(Fraction(5) * speed)};
        const double into_s = contact_s - count.media_s(static_cast<double>(shot.source_in.n));
        beats.beats.push_back({to_seconds(shot.record.in, rate) + into_s / speed.to_double(), 1, 1, 1});
        std::size_t impact = 0;
        while (footage().log.takes[take].impacts[impact].picture_s != contact_s)
            ++impact;
        shot.anchors = {{impact, beats.beats.size() - 1, 0}};
        plan.length = shot.record.out;
        plan.shots.push_back(shot);
    }
    Timeline timeline() const {
        const auto built = timeline::build({plan, beats, footage().log, limits, footage().song},
                                           timeline::BuildOptions{.name = "conform", .folder = ""});
        INFO((built ? "" : built.error().what));
        REQUIRE(built);
        return *built;
    }
};

// Writes both lists and has them judged; true if they keep all rules and are one cut, in table and picture.
bool conforms(const Timeline& timeline, std::size_t expected_lists = 1) {
    auto& place = footage().folder;
    const auto lists = write::edl(timeline);
    REQUIRE(lists);
    CHECK(lists->size() == expected_lists);
    std::string paths;
    for (std::size_t i = 0; i < lists->size(); ++i) {
        const auto path = place / fmt::format("out/cut{}.edl", i);
        std::ofstream(path, std::ios::binary) << (*lists)[i];
        paths += " " + path;
    }
    const auto otio =
        write::otio(timeline, {.folder = place / "out", .absolute_urls = false, .media_root = {}});
    REQUIRE(otio);
    const auto otio_path = place / "out/cut.otio";
    std::ofstream(otio_path, std::ios::binary) << *otio;
    const auto both = fmt::format("{} {} {}{}", to_string(timeline.rate), place.path(), otio_path, paths);
    return run_python("conform_render.py both " + both);
}

} // namespace

TEST_CASE("following the EDL alone and the OTIO alone shows the same pictures, at every list rate") {
    struct List {
        Rate rate;
        Counting counting;
    };
    for (const auto& [rate, counting] :
         {List{Rate(25), Counting::non_drop}, List{Rate(24000, 1001), Counting::non_drop},
          List{Rate(30000, 1001), Counting::drop}, List{Rate(50), Counting::non_drop},
          List{Rate(60000, 1001), Counting::drop}}) {
        INFO(to_string(rate));
        Cut cut(rate, counting);
        for (std::size_t take = 0; take < std::size(clips); ++take)
            cut.shot(take, 21 + 3 * std::ssize(cut.plan.shots), Fraction(1), 0.8);
        // Every picture once, an odd speed, and one that is long enough for the rounded speed to tell.
        cut.shot(3, 100, rate.value() / Fraction(120), 1.7);
        cut.shot(2, 90, rate.value() / Fraction(100), 1.7);
        cut.shot(1, 40, Fraction(1, 3), 1.7);
        cut.shot(4, 30, Fraction(4, 5), 1.7);
        cut.shot(0, 30, Fraction(3, 2), 1.7);
        CHECK(conforms(cut.timeline()));
    }
}

TEST_CASE("a list that had to be split still conforms") {
    Cut cut(Rate(25), Counting::non_drop);
    for (std::size_t i = 0; i < 1100; ++i)
        cut.shot(i % std::size(clips), 2, Fraction(1), i % 2 ? 0.8 : 2.6);
    const auto timeline = cut.timeline();
    CHECK(conforms(timeline, 3)); // 1100 pictures, 1100 natural sounds, and the song in each part
}

TEST_CASE("a cut that is wrong by one frame does not pass") {
    Cut cut(Rate(25), Counting::non_drop);
    cut.shot(0, 25, Fraction(1), 0.8);
    cut.shot(2, 25, Fraction(1, 5), 0.8);
    auto& place = footage().folder;
    auto timeline = cut.timeline();
    REQUIRE(conforms(timeline));
    const auto otio_path = place / "out/cut.otio";
    timeline.video[1].source = {timeline.video[1].source.in + Frame{1},
                                timeline.video[1].source.out + Frame{1}};
    std::ofstream(otio_path, std::ios::binary)
        << *write::otio(timeline, {.folder = place / "out", .absolute_urls = false, .media_root = {}});
    const auto both = fmt::format("25 {} {} {}", place.path(), otio_path, place / "out/cut0.edl");
    CHECK(run_python("otio_reader.py " + otio_path)); // a good list, but of another cut
    CHECK_FALSE(run_python("conform_render.py both " + both));
}
