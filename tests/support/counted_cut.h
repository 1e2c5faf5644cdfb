// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/catch.h"
#include "support/dice.h"
#include "support/temp_folder.h"

#include "downball/media/probe.h"
#include "downball/model/source_count.h"
#include "downball/preview/preview.h"
#include "downball/text/json.h"
#include "downball/timeline/build.h"
#include "downball/write/edl.h"
#include "downball/write/otio.h"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <iterator>

// Cuts of counted footage (counted_footage.py), by hand or by dice, written for conform_matrix.py to judge.
namespace downball::test {

inline bool run(const std::string& command) {
    return std::system(command.c_str()) == 0;
}

inline bool run_python(const std::string& arguments) {
    return run("PYTHONDONTWRITEBYTECODE=1 /usr/bin/python3 " + std::string(DOWNBALL_SOURCE_DIR) +
               "/tests/support/" + arguments);
}

inline void save_text(const std::string& path, const std::string& text) {
    std::ofstream(path, std::ios::binary) << text;
}

// The footage once for all tests: made by ffmpeg, known to us through our own probe alone.
class CountedFootage {
  public:
    std::vector<MediaInfo> media;
    std::vector<std::optional<double>> capture_fps; // of each
    MediaInfo song;

    static CountedFootage& get() {
        static CountedFootage made;
        return made;
    }
    std::string path(const std::string& name) const { return folder_ / name; }
    // Where the lists of a cut go: out/, or the folder of DOWNBALL_LISTS, where other programs may look at them.
    std::string lists_of(const std::string& cut) const {
        const char* kept = std::getenv("DOWNBALL_LISTS");
        return kept ? std::string(kept) + "/" + cut : path("out/" + cut);
    }
    // Index of a clip by its file's name.
    std::size_t find(const std::string& name) const {
        const auto at = std::ranges::find(media, name, &MediaInfo::name);
        REQUIRE(at != media.end());
        return static_cast<std::size_t>(at - media.begin());
    }

  private:
    CountedFootage() {
        REQUIRE(run_python("counted_footage.py " + path("cards")));
        std::ifstream file(path("cards/footage.json"));
        const std::string told{std::istreambuf_iterator<char>(file), {}};
        const auto clips = text::parse_json(told, "footage.json");
        REQUIRE(clips);
        for (const auto& clip : clips->array()) {
            const auto info = media::probe(path("cards/" + clip.find("name")->string()));
            REQUIRE(info);
            media.push_back(*info);
            const auto& fps = *clip.find("capture_fps");
            capture_fps.push_back(fps.is_number() ? std::optional(fps.number()) : std::nullopt);
        }
        REQUIRE(run("ffmpeg -nostdin -v error -f lavfi -i sine=d=300 -ar 8000 '" + path("song.wav") + "'"));
        const auto info = media::probe(path("song.wav"));
        REQUIRE(info);
        song = *info;
    }

    TempFolder folder_;
};

// A plan with its log and beats: each shot has a take of its own, whose contacts hang on beats made for them.
struct CountedCut {
    std::string name;
    CutPlan plan;
    BeatGrid beats;
    ShotLog log;
    Limits limits;

    CountedCut(std::string its_name, Rate rate, Counting counting, Frame start) : name(std::move(its_name)) {
        limits.delivery.rate = rate;
        limits.delivery.counting = counting;
        limits.delivery.start = start;
        beats.duration_s = 300;
        log.media = CountedFootage::get().media;
    }

    Rate rate() const { return limits.delivery.rate; }
    SourceCount count(std::size_t media) const { return count_source(log.media[media], rate()); }

    // A shot at one speed. `at` = record frames from its begin to its contact, which lies so many frames late.
    void shot(std::size_t media, std::int64_t length, std::int64_t source_in, Fraction speed, double at,
              double late = 0) {
        PlannedShot& its = add(media, length, source_in, speed);
        const double position = static_cast<double>(source_in) + at * speed.to_double();
        hold(its, count(media).media_s(position), at - late);
    }

    // A rally on the beat: `stretches` are record and source lengths; contacts lie where two of them meet.
    void rally(std::size_t media, std::int64_t source_in,
               const std::vector<std::pair<std::int64_t, std::int64_t>>& stretches) {
        std::int64_t length = 0;
        Fraction slowest(100);
        for (const auto& [record, source] : stretches) {
            length += record;
            slowest = std::min(slowest, Fraction(source, record));
        }
        PlannedShot& its = add(media, length, source_in, slowest);
        Frame record = its.record.in, source{source_in};
        for (const auto& [record_length, source_length] : stretches) {
            if (record != its.record.in)
                hold(its, count(media).media_s(static_cast<double>(source.n)),
                     static_cast<double>((record - its.record.in).n));
            its.stretches.push_back(
                {{record, record + Frame{record_length}}, {source, source + Frame{source_length}}});
            record = its.stretches.back().record.out;
            source = its.stretches.back().source.out;
        }
    }

    Timeline timeline() const {
        const auto built = timeline::build({plan, beats, log, limits, CountedFootage::get().song},
                                           timeline::BuildOptions{.name = "conform", .folder = ""});
        INFO((built ? "" : built.error().where + ": " + built.error().what));
        REQUIRE(built);
        return *built;
    }

    // What the cut means, for conform_matrix.py.
    std::string plan_json() const {
        text::JsonArray shots;
        for (const PlannedShot& shot : plan.shots) {
            const Take& take = log.takes[shot.take];
            text::JsonArray contacts, stretches;
            for (const Anchor& anchor : shot.anchors)
                contacts.push_back(
                    text::JsonArray{take.impacts[anchor.impact].picture_s, beats.beats[anchor.beat].seconds});
            for (const Stretch& stretch : shot.stretches)
                stretches.push_back(
                    text::JsonObject{{"record", pair(stretch.record)}, {"source", pair(stretch.source)}});
            shots.push_back(
                text::JsonObject{{"file", log.media[take.media].name},
                                 {"record", pair(shot.record)},
                                 {"source_in", shot.source_in.n},
                                 {"speed", fmt::format("{}/{}", shot.speed.num(), shot.speed.den())},
                                 {"contacts", std::move(contacts)},
                                 {"stretches", std::move(stretches)}});
        }
        return to_text(text::JsonObject{{"rate", to_string(rate())}, {"shots", std::move(shots)}});
    }

  private:
    static text::JsonArray pair(FrameRange range) { return {range.in.n, range.out.n}; }

    PlannedShot& add(std::size_t media, std::int64_t length, std::int64_t source_in, Fraction speed) {
        Take take;
        take.id = fmt::format("T{}", log.takes.size());
        take.kind = Kind::action;
        take.media = media;
        take.out_s = log.media[media].duration_s;
        take.capture_fps = CountedFootage::get().capture_fps[media];
        PlannedShot shot;
        shot.id = take.id + "@" + log.media[media].name;
        shot.take = log.takes.size();
        shot.record = {plan.length, plan.length + Frame{length}};
        shot.source_in = Frame{source_in};
        shot.speed = speed;
        plan.length = shot.record.out;
        log.takes.push_back(std::move(take));
        plan.shots.push_back(std::move(shot));
        return plan.shots.back();
    }

    void hold(PlannedShot& shot, double picture_s, double beat_at) {
        Take& take = log.takes[shot.take];
        Impact impact;
        impact.id = fmt::format("{}#{:.0f}", take.id, picture_s * 1000);
        impact.picture_s = picture_s;
        impact.sound_s = picture_s + 0.035;
        take.impacts.push_back(impact);
        beats.beats.push_back({to_seconds(shot.record.in, rate()) + beat_at / rate().per_second(), 1, 1, 1});
        shot.anchors.push_back({take.impacts.size() - 1, beats.beats.size() - 1, 0});
    }
};

// Source frames of a clip that a cut may use: whole list frames from its first picture to its end.
inline FrameRange usable(const CountedCut& cut, std::size_t media) {
    const SourceCount count = cut.count(media);
    return {count.from(0), count.at(cut.log.media[media].duration_s)};
}

// A shot of the clip at a random place, in real time, with every picture once, at an odd speed, or a rally. Rolls stand
// in statements of their own, so that all compilers make the same cut.
inline void random_shot(CountedCut& cut, std::size_t media, Dice& dice) {
    static const std::array odd{Fraction(1, 3),    Fraction(2, 3),       Fraction(4, 5),    Fraction(3, 2),
                                Fraction(7, 11),   Fraction(13, 17),     Fraction(31, 125), Fraction(99, 100),
                                Fraction(101, 99), Fraction(1001, 1000), Fraction(1, 10),   Fraction(5, 24)};
    const FrameRange all = usable(cut, media);
    const MediaInfo& info = cut.log.media[media];
    const int kind = dice.whole(0, 9);
    const std::int64_t wanted = dice.whole(2, 60);
    if (kind == 0) {
        std::vector<std::pair<std::int64_t, std::int64_t>> stretches;
        std::int64_t used = 0;
        const int count = dice.whole(2, 4);
        for (int i = 0; i < count; ++i) {
            const std::int64_t record = dice.whole(3, 9);
            const bool real_time = i == 0 || i + 1 == count;
            const std::int64_t source =
                real_time ? record : std::max<std::int64_t>(1, record + dice.whole(-2, 2));
            stretches.emplace_back(record, source);
            used += source;
        }
        const std::int64_t room = all.length().n - used;
        if (room <= 0) return;
        cut.rally(media, all.in.n + dice.whole(0, static_cast<int>(room)), stretches);
        return;
    }
    Fraction speed(1);
    if (kind >= 5) speed = odd[static_cast<std::size_t>(dice.whole(0, static_cast<int>(odd.size()) - 1))];
    if (kind >= 7) {
        const Rate shot_at = info.rate ? *info.rate : Rate(30);
        speed = std::min(Fraction(2), cut.rate().value() / shot_at.value());
    }
    const auto longest = floor(Fraction(all.length().n) / speed) - 1;
    const std::int64_t length = std::max<std::int64_t>(1, std::min(wanted, longest));
    const std::int64_t room = all.length().n - ceil(Fraction(length) * speed);
    if (room < 0) return;
    const std::int64_t source_in = all.in.n + dice.whole(0, static_cast<int>(room));
    const double at = dice.between(0.5, static_cast<double>(length));
    const double late = dice.between(-0.5, 0.5);
    cut.shot(media, length, source_in, speed, at, late);
}

// The movie of a cut, small, beside its lists.
inline void save_movie(const CountedCut& cut, const Timeline& timeline) {
    const auto made = preview::make_preview(timeline, CountedFootage::get().lists_of(cut.name) + "/movie.mp4",
                                            {.form = {.longer_side_px = 160}});
    INFO((made ? "" : to_string(made.error())));
    REQUIRE(made);
    CHECK(made->frames == timeline.length.n);
}

// A cut's lists, movie and plan in a folder of its own; how many EDLs there are.
inline std::size_t save_cut(const CountedCut& cut, const Timeline& timeline) {
    namespace fs = std::filesystem;
    const fs::path folder = CountedFootage::get().lists_of(cut.name);
    fs::create_directories(folder);
    save_text(folder / "plan.json", cut.plan_json());
    const auto otio = write::otio(timeline, {.folder = folder, .absolute_urls = false, .media_root = {}});
    REQUIRE(otio);
    save_text(folder / "cut.otio", *otio);
    const auto lists = write::edl(timeline);
    const auto parts = write::edl(timeline, {.parts_from_start = true});
    REQUIRE(lists);
    REQUIRE(parts);
    for (std::size_t i = 0; i < lists->size(); ++i) {
        save_text(folder / fmt::format("cut{}.edl", i), (*lists)[i]);
        if (lists->size() > 1) save_text(folder / fmt::format("parts{}.edl", i), (*parts)[i]);
    }
    if (!std::getenv("DOWNBALL_LISTS")) save_movie(cut, timeline); // others look at lists alone
    return lists->size();
}

// Whether each of the saved cuts shows what it means, by all its lists and in its movie; what differs is printed.
inline bool conform(const std::vector<std::string>& names) {
    std::string words = "conform_matrix.py " + CountedFootage::get().path("");
    for (const std::string& name : names)
        words += " " + CountedFootage::get().lists_of(name);
    return run_python(words);
}

} // namespace downball::test
