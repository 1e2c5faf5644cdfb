// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/hand_cut.h"
#include "support/written_lists.h"
#include "unit/timeline/small_day.h"

#include "downball/model/source_count.h"

#include <algorithm>
#include <cmath>
#include <set>

// Each rule for OTIO (DEVELOPERS.md) on cuts that make it hard to keep. All files are read by tests/support/otio_reader.py
// as well, which shares no code with the writer and knows all the rules.

using namespace downball;
using namespace downball::test;

namespace {

const Rate ntsc(30000, 1001);

// A day with one shot of each speed, of a file with a start label, from its first frame up to its last.
Timeline speeds(Rate media, Rate list, const std::vector<Fraction>& all, const char* label = "10:00:00:21") {
    SmallDay day;
    day.log.media[0] = SmallDay::file("FAST.mov", 10, media);
    day.limits.delivery.rate = list;
    day.log.media[0].start = StartTimecode{label, *from_timecode(label, Rate(50), Counting::non_drop),
                                           Rate(50), Counting::non_drop};
    day.song.duration_s = day.song.audio->end_s = 1000;
    const auto count = count_source(day.log.media[0], list);
    const std::int64_t first = count.from(0).n, frames = count.at(10).n - first;
    for (const auto speed : all) {
        const std::int64_t length = floor(Fraction(frames) / speed);
        day.shot(0, std::min<std::int64_t>(length, 90), first, speed);
        day.shot(0, 1, first + frames - std::max<std::int64_t>(1, ceil(speed)), speed);
    }
    const auto built = day.build();
    INFO((built ? "" : built.error().what));
    REQUIRE(built);
    return *built;
}

Json otio_of(const Timeline& cut) {
    return written_lists(cut).otio;
}

void each_clip(const Json& root, const std::function<void(const Json&)>& look) {
    each_object(root, [&](const Json& object) {
        if (const auto* schema = object.find("OTIO_SCHEMA"); schema && schema->string() == "Clip.2")
            look(object);
    });
}

double warp_of(const Json& clip) {
    const auto& effects = at(clip, "effects").array();
    return effects.empty() ? 1 : at(effects.at(0), "time_scalar").number();
}

// Media seconds of an instant of a clip's source range, by its own available range.
double second_of(const Json& clip, double source) {
    const auto& available = at(reference(clip), "available_range");
    return source / rate(at(clip, "source_range")) - start(available) / rate(available);
}

} // namespace

TEST_CASE("OTIO rule 16: no object of another version, whatever the cut holds") {
    const std::set<std::string> known{
        "Timeline.1",     "Stack.1",    "Track.1",          "Clip.2",
        "Gap.1",          "Marker.2",   "LinearTimeWarp.1", "ExternalReference.1",
        "RationalTime.1", "TimeRange.1"};
    std::set<std::string> found;
    each_object(otio_of(hand_cut()), [&](const Json& object) {
        if (const auto* schema = object.find("OTIO_SCHEMA")) found.insert(schema->string());
    });
    CHECK(found == known);
    const auto other = otio_of(long_cut(3, 5, ntsc, Counting::drop, Frame{0}));
    for (const auto& track : tracks(other))
        CHECK((at(track, "kind").string() == "Video" || at(track, "kind").string() == "Audio"));
}

TEST_CASE("OTIO rule 17: every clip's active key is among its references, of a thousand clips too") {
    std::size_t clips = 0;
    each_clip(otio_of(long_cut(1000, 2, Rate(25), Counting::non_drop, Frame{0})), [&](const Json& clip) {
        const auto& references = at(clip, "media_references");
        REQUIRE(references.is_object());
        CHECK(references.find(at(clip, "active_media_reference_key").string()));
        ++clips;
    });
    CHECK(clips == 1000 + 334 + 1);
}

TEST_CASE("OTIO rule 18: NTSC rates of list and media in full, and numbers that a double holds") {
    for (const auto& [list, media] : {std::pair{Rate(24000, 1001), Rate(120000, 1001)},
                                      {ntsc, Rate(60000, 1001)},
                                      {Rate(60000, 1001), Rate(24000, 1001)}}) {
        const auto root = otio_of(speeds(media, list, {Fraction(1), Fraction(1, 3)}));
        std::set<double> rates;
        each_object(root, [&](const Json& object) {
            if (const auto* own = object.find("rate"); own && own->is_number()) rates.insert(own->number());
        });
        CHECK(rates == std::set<double>{list.per_second(), media.per_second()});
    }
    // The published numbers: 24000/1001, 30000/1001 and 120000/1001 to the last digit of a double.
    CHECK(Rate(24000, 1001).per_second() == 23.976023976023978);
    CHECK(ntsc.per_second() == 29.97002997002997);
    CHECK(Rate(120000, 1001).per_second() == 119.88011988011988);
}

TEST_CASE(
    "OTIO rule 19: source ranges are whole list frames inside the file, from its first picture to its last") {
    for (const Rate list : {Rate(24), Rate(25), ntsc, Rate(60)})
        for (const Rate media : {Rate(50), Rate(120), Rate(24000, 1001)}) {
            const auto root = otio_of(speeds(media, list, {Fraction(1)}));
            const auto& clips = children(root, 0);
            for (const auto& clip : clips) {
                const auto& range = at(clip, "source_range");
                CHECK(start(range) == std::floor(start(range)));
                CHECK(length(range) >= 1);
                CHECK(rate(range) == list.per_second());
                CHECK(second_of(clip, start(range)) >= -1e-9);
                CHECK(second_of(clip, start(range) + length(range)) <= 10 + 1e-9);
            }
            const auto& available = at(reference(clips[0]), "available_range");
            CHECK(rate(available) == media.per_second());
            CHECK(length(available) == std::floor(10 * media.per_second() + 1e-6));
        }
}

TEST_CASE("OTIO rule 20: a warp leaves the item's length, is named, uses media that is there, and its loss "
          "is said") {
    const std::vector<Fraction> all{Fraction(1, 10),     Fraction(1, 3), Fraction(4, 5),
                                    Fraction(999, 1000), Fraction(3, 2), Fraction(4)};
    const auto cut = speeds(Rate(120), Rate(25), all);
    const auto root = otio_of(cut);
    const auto& clips = children(root, 0);
    REQUIRE(clips.size() == 2 * all.size());
    for (std::size_t i = 0; i < clips.size(); ++i) {
        const auto& range = at(clips[i], "source_range");
        CHECK(length(range) == static_cast<double>(cut.video[i].record.length().n));
        CHECK(warp_of(clips[i]) == cut.video[i].speed.to_double());
        CHECK(second_of(clips[i], start(range) + length(range) * warp_of(clips[i])) <= 10 + 1e-6);
        for (const auto& effect : at(clips[i], "effects").array())
            CHECK(at(effect, "effect_name").string() == "LinearTimeWarp");
        if (cut.video[i].speed != Fraction(1))
            CHECK(any_note(cut, "shot " + cut.video[i].shot + ": an editor that ignores speed changes"));
    }
    CHECK(any_note(cut, "source and record are equally long"));
}

TEST_CASE(
    "OTIO rule 21: tracks of every length of sound end with the picture, and begin where the EDL does") {
    for (const std::int64_t song_out : {1, 100, 249, 250}) {
        auto cut = hand_cut();
        cut.song[0].record.out = Frame{song_out};
        cut.song[0].source.out = cut.song[0].source.in + Frame{song_out};
        cut.sections.clear();
        if (song_out == 1) cut.natural.clear();
        const auto lists = written_lists(cut);
        for (std::size_t track = 0; track < 3; ++track) {
            double end = 0;
            for (const auto& child : children(lists.otio, track))
                end += length(at(child, "source_range"));
            CHECK(end == 250);
        }
        const auto& begin = at(lists.otio, "global_start_time");
        const Frame first{static_cast<std::int64_t>(at(begin, "value").number())};
        CHECK(lists.on("V").front().record_in == *to_timecode(first, cut.rate, cut.counting));
    }
}

TEST_CASE("OTIO rule 22: markers stand on the record frame of the EDL's, however fast the clip and late its "
          "label") {
    auto cut = hand_cut();
    cut.video[1].contacts = {{Frame{40}, "a"}, {Frame{119}, "b"}};
    cut.video[3].contacts = {{Frame{229}, "after midnight"}};
    const auto lists = written_lists(cut);
    std::vector<std::string> by_otio, by_edl;
    std::int64_t record = 0;
    for (const auto& clip : children(lists.otio, 0)) {
        const auto& range = at(clip, "source_range");
        for (const auto& marker : at(clip, "markers").array()) {
            const auto& marked = at(marker, "marked_range");
            CHECK(at(marker, "color").string() == "RED");
            CHECK(length(marked) == 1);
            const auto into = static_cast<std::int64_t>(start(marked) - start(range));
            CHECK((into >= 0 && into < static_cast<std::int64_t>(length(range))));
            by_otio.push_back(*to_timecode(cut.start + Frame{record + into}, cut.rate, cut.counting));
        }
        record += static_cast<std::int64_t>(length(range));
    }
    for (const auto& line : lists.lines())
        if (line.starts_with("* LOC") && line.find("RED") != std::string::npos)
            by_edl.push_back(line.substr(7, 11));
    CHECK(by_otio == by_edl);
    CHECK(by_otio.size() == 5);
}

TEST_CASE("OTIO rule 23: urls of odd names lead back to the file, relative and absolute") {
    auto cut = hand_cut();
    // Bytes that RFC 3986 leaves unencoded are letters, digits and -._~; all others of a name are encoded.
    cut.media[0].path = "/shoot/cards/50% #1?\xC3\xBC\"'&=+;:@[]{}|\\^`<>.mp4";
    cut.media[1].path = "/other/a b.mp4";
    cut.media[2].path = "/shoot/out/next to the list.mov";
    const auto url = [](const Json& root, std::size_t child) {
        return at(reference(children(root, 0)[child]), "target_url").string();
    };
    const auto relative = otio_of(cut);
    CHECK(url(relative, 0) ==
          "../cards/50%25%20%231%3F%C3%BC%22%27%26%3D%2B%3B%3A%40%5B%5D%7B%7D%7C%5C%5E%60%3C%3E.mp4");
    CHECK(url(relative, 1) == "../../other/a%20b.mp4");
    CHECK(url(relative, 3) == "next%20to%20the%20list.mov");
    const auto text = write::otio(cut, {.folder = "/shoot/out", .absolute_urls = true, .media_root = {}});
    REQUIRE(text);
    CHECK(url(*text::parse_json(*text, "cut.otio"), 1) == "file:///other/a%20b.mp4");
}

TEST_CASE("OTIO rule 24: strict JSON of any names, and data of our own in one place") {
    auto cut = hand_cut();
    const std::string broken = "broken \xFF\xFE", control = "a\"b\\c\n\t\x01", astral = "\xF0\x9F\x8F\x90";
    cut.name = control;
    cut.media[0].name = broken;
    cut.media[1].name = astral;
    cut.video[0].contacts[0].name = control;
    cut.notes = {control, broken};
    // Read strictly: UTF-8, no key twice, no NaN; by our own reader and Python's.
    const auto root = otio_of(cut);
    CHECK(at(root, "name").string() == control);
    CHECK(at(children(root, 0)[1], "name").string() == astral);
    CHECK(at(children(root, 0)[0], "name").string().starts_with("broken \xEF\xBF\xBD"));
    std::size_t own = 0;
    each_object(root, [&](const Json& object) {
        if (const auto* metadata = object.find("metadata"))
            for (const auto& member : metadata->object()) {
                CHECK(member.first == "downball");
                ++own;
            }
    });
    CHECK(own > 10);
}

TEST_CASE("OTIO rule 25: source time has the EDL's origin, with a label, without one, and over midnight") {
    for (const char* label : {"10:00:00:21", "23:59:57:49", "00:00:00:00"})
        for (const Rate list : {Rate(24), Rate(25), ntsc, Rate(60)}) {
            const auto cut = speeds(Rate(50), list, {Fraction(1), Fraction(1, 2)}, label);
            const auto lists = written_lists(cut);
            const auto pictures = lists.on("V");
            const auto& clips = children(lists.otio, 0);
            REQUIRE(pictures.size() == clips.size());
            for (std::size_t i = 0; i < clips.size(); ++i) {
                const auto day = day_length(list, Counting::non_drop).n;
                const auto source = static_cast<std::int64_t>(start(at(clips[i], "source_range")));
                CHECK(from_timecode(pictures[i].source_in, list, Counting::non_drop)->n == source % day);
                // The label as an instant: frames of 50 a second.
                const auto& available = at(reference(clips[i]), "available_range");
                CHECK(start(available) ==
                      Approx(static_cast<double>(from_timecode(label, Rate(50), Counting::non_drop)->n))
                          .epsilon(1e-12));
            }
        }
    const auto root = otio_of(hand_cut());
    const auto& song = children(root, 1)[0];
    CHECK(start(at(reference(song), "available_range")) == 0);
}

TEST_CASE("OTIO rule 26: no length of 0 and none below, of the shortest shots and sounds") {
    SmallDay day;
    day.options.j_cut_frames = day.options.l_cut_frames = 9;
    for (int i = 0; i < 12; ++i) {
        day.shot(0, 1 + i % 2, 90 + i, i % 3 ? Fraction(1) : Fraction(1, 50)).anchors = {
            {0, static_cast<std::size_t>(i), 0}};
        day.plan.shots.back().id += std::to_string(i);
    }
    const auto built = day.build();
    REQUIRE(built);
    const auto root = otio_of(*built);
    std::size_t ranges = 0;
    each_object(root, [&](const Json& object) {
        const auto* schema = object.find("OTIO_SCHEMA");
        if (!schema || schema->string() != "TimeRange.1") return;
        ++ranges;
        CHECK(length(object) >= 1);
        CHECK(rate(object) > 0);
        CHECK(std::isfinite(start(object)));
    });
    CHECK(ranges > 24);
}
