// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/base/splitmix64.h"
#include "downball/read/cut_list.h"
#include "downball/text/json.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fstream>
#include <functional>
#include <iterator>
#include <set>

using namespace downball;
using read::CutList;
using text::Json;

namespace {

std::string golden(const std::string& name) {
    std::ifstream file(std::string(DOWNBALL_SOURCE_DIR "/tests/golden/") + name, std::ios::binary);
    REQUIRE(file);
    return {std::istreambuf_iterator<char>(file), {}};
}

std::string instant(double value, const std::string& rate = "25") {
    return fmt::format(R"({{"OTIO_SCHEMA": "RationalTime.1", "rate": {}, "value": {}}})", rate, value);
}

std::string range(double start, double length, const std::string& rate = "25") {
    return fmt::format(R"({{"OTIO_SCHEMA": "TimeRange.1", "start_time": {}, "duration": {}}})",
                       instant(start, rate), instant(length, rate));
}

std::string clip(const std::string& file, const std::string& reel, double start, double length,
                 const std::string& effects = "", const std::string& markers = "") {
    return fmt::format(
        R"({{"OTIO_SCHEMA": "Clip.2", "metadata": {{"downball": {{"reel": "{1}", "shot": "T1"}}}}, "name": "{0}",
"source_range": {2}, "effects": [{3}], "markers": [{4}], "enabled": true,
"media_references": {{"DEFAULT_MEDIA": {{"OTIO_SCHEMA": "ExternalReference.1",
"metadata": {{"downball": {{"reel": "{1}"}}}}, "name": "{0}", "available_range": {5},
"target_url": "cards/{0}"}}}}, "active_media_reference_key": "DEFAULT_MEDIA"}})",
        file, reel, range(start, length), effects, markers, range(1000, 200, "50"));
}

std::string warp(const std::string& scalar) {
    return R"({"OTIO_SCHEMA": "LinearTimeWarp.1", "metadata": {}, "name": "slow", "effect_name": "LinearTimeWarp",
"time_scalar": )" +
           scalar + R"(, "enabled": true})";
}

std::string marker(double start) {
    return R"({"OTIO_SCHEMA": "Marker.2", "metadata": {}, "name": "set", "color": "RED", "marked_range": )" +
           range(start, 1) + "}";
}

std::string gap(double length) {
    return R"({"OTIO_SCHEMA": "Gap.1", "metadata": {}, "name": "", "source_range": )" + range(0, length) +
           R"(, "effects": [], "markers": [], "enabled": true})";
}

std::string track(const std::string& kind, const std::string& children) {
    return fmt::format(
        R"({{"OTIO_SCHEMA": "Track.1", "metadata": {{}}, "name": "{0} track", "kind": "{0}", "source_range": null,
"effects": [], "markers": [], "enabled": true, "children": [{1}]}})",
        kind, children);
}

std::string timeline(const std::string& tracks) {
    return fmt::format(
        R"({{"OTIO_SCHEMA": "Timeline.1", "metadata": {{"downball": {{"rate": "25", "drop_frame": false}}}},
"name": "small", "global_start_time": {}, "tracks": {{"OTIO_SCHEMA": "Stack.1", "metadata": {{}}, "name": "tracks",
"effects": [], "markers": [], "enabled": true, "source_range": null, "children": [{}]}}}})",
        instant(90000), tracks);
}

// 4 s of files that are 4 s long (200 frames at 50 from 20 s on): A at half speed with a mark, black, B.
std::string small() {
    return timeline(track("Video", clip("A.mp4", "A", 500, 40, warp("0.5"), marker(510)) + "," + gap(10) +
                                       "," + clip("B.mp4", "B", 510, 50)) +
                    "," + track("Audio", clip("B.mp4", "B", 505, 90) + "," + gap(10)));
}

// With the first of `from` replaced.
std::string with(std::string text, const std::string& from, const std::string& to) {
    const auto at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

CutList list(const std::string& text) {
    const auto read = read::otio(text, "small.otio");
    INFO((read ? "" : to_string(read.error())));
    REQUIRE(read);
    return *read;
}

std::set<int> rules(const std::string& text) {
    std::set<int> broken;
    for (const auto& breach : list(text).breaches) {
        INFO(breach.place << ": " << breach.what);
        CHECK_FALSE(breach.what.empty());
        broken.insert(breach.rule);
    }
    return broken;
}

std::set<int> broken(const std::string& from, const std::string& to) {
    INFO("with " << to);
    return rules(with(small(), from, to));
}

using Rules = std::set<int>;

// The value that a JSON pointer (RFC 6901) names, or null.
const Json* found(const Json& root, const std::string& pointer) {
    const Json* at = &root;
    for (std::size_t from = 0; at && from < pointer.size();) {
        const std::size_t to = std::min(pointer.find('/', from + 1), pointer.size());
        std::string part = pointer.substr(from + 1, to - from - 1);
        for (const auto& [escape, plain] : {std::pair("~1", "/"), std::pair("~0", "~")})
            for (std::size_t i = 0; (i = part.find(escape, i)) != std::string::npos; ++i)
                part.replace(i, 2, plain);
        if (at->is_array()) {
            const std::size_t index = std::stoul(part);
            at = index < at->array().size() ? &at->array()[index] : nullptr;
        } else {
            at = at->find(part);
        }
        from = to;
    }
    return at;
}

// What holds whatever was read: a usable list, or an error of the input.
void check_sound(const std::string& text) {
    const auto read = read::otio(text, "spoilt.otio");
    if (!read) {
        CHECK(read.error().fault == Fault::bad_input);
        CHECK(read.error().where.starts_with("spoilt.otio"));
        return;
    }
    const auto root = text::parse_json(text, "spoilt.otio");
    REQUIRE(root);
    bool sound = true;
    for (const auto& event : read->events)
        sound = sound && event.track < read->tracks.size() && !event.record.empty() &&
                event.record.length() == event.source.length() && std::isfinite(event.speed) &&
                event.record.in >= read->start && found(*root, event.place) &&
                std::ranges::all_of(event.marks,
                                    [&](const auto& mark) { return event.record.contains(mark.at); });
    for (const auto& breach : read->breaches)
        sound = sound && found(*root, breach.place) && !breach.what.empty() &&
                (breach.rule == 5 || (breach.rule >= 16 && breach.rule <= 26));
    INFO(text);
    CHECK(sound);
}

// Calls for every value inside, which may then be changed; the root itself is not told.
void each_value(Json& value, const std::function<void(Json&)>& look) {
    if (value.is_array())
        for (Json& inner : value.array()) {
            look(inner);
            each_value(inner, look);
        }
    else if (value.is_object())
        for (auto& [key, inner] : value.object()) {
            look(inner);
            each_value(inner, look);
        }
}

} // namespace

TEST_CASE("OTIO: a small timeline is read as it says") {
    const auto read = list(small());
    CHECK(read.breaches.empty());
    CHECK(read.passed_over.empty());
    CHECK(read.name == "small");
    CHECK(read.rate == Rate(25));
    CHECK(read.counting == Counting::non_drop);
    CHECK(read.start == Frame{90000});
    REQUIRE(read.tracks.size() == 2);
    CHECK(read.tracks[0].name == "Video track");
    CHECK(read.tracks[0].picture);
    CHECK_FALSE(read.tracks[1].picture);
    REQUIRE(read.events.size() == 4); // the gap between sounds is nothing
    const auto& slow = read.events[0];
    CHECK(slow.place == "/tracks/children/0/children/0");
    CHECK(slow.file == "A.mp4");
    CHECK(slow.reel == "A");
    CHECK(slow.shot == "T1");
    CHECK(slow.record == FrameRange{{90000}, {90040}});
    CHECK(slow.source == FrameRange{{500}, {540}});
    CHECK(slow.retimed);
    CHECK(slow.speed == 0.5);
    REQUIRE(slow.marks.size() == 1);
    CHECK(slow.marks[0].at == Frame{90010});
    CHECK(slow.marks[0].text == "set");
    CHECK(read.events[1].black);
    CHECK(read.events[1].record == FrameRange{{90040}, {90050}});
    CHECK(read.events[2].record == FrameRange{{90050}, {90100}});
    CHECK_FALSE(read.events[2].retimed);
    CHECK(read.events[3].track == 1);
    CHECK(read.events[3].record == FrameRange{{90000}, {90090}});
}

// The lists were checked by hand when they were laid down; the labels stand in the EDL beside them.
TEST_CASE("OTIO: the cut at 25 with slow motion, black and a clip over midnight") {
    const auto read = list(golden("strandtag.otio"));
    CHECK(read.breaches.empty());
    CHECK(read.passed_over.empty());
    CHECK(read.name == "Strandtag");
    CHECK(read.start == *from_timecode("01:00:00:00", Rate(25), Counting::non_drop));
    REQUIRE(read.tracks.size() == 3);
    REQUIRE(read.events.size() == 8);
    const auto label = [](const char* text) { return *from_timecode(text, Rate(25), Counting::non_drop); };
    const auto& slow = read.events[1];
    CHECK(slow.file == "D\xC3\xBCne #3.mp4");
    CHECK(slow.reel == "DNE3");
    CHECK(slow.speed == 0.248);
    CHECK(slow.record == FrameRange{label("01:00:01:15"), label("01:00:04:20")});
    CHECK(slow.source.in == label("00:00:00:20"));
    REQUIRE(slow.marks.size() == 1);
    CHECK(slow.marks[0].at == label("01:00:02:00"));
    CHECK(read.events[2].black);
    CHECK(read.events[2].record == FrameRange{label("01:00:04:20"), label("01:00:05:05")});
    const auto& late = read.events[3];
    CHECK(late.file == "N.mov");
    CHECK(late.source.in == label("23:59:58:10"));
    CHECK(wrap_day(late.source.out, Rate(25), Counting::non_drop) == label("00:00:02:10"));
    const auto& song = read.events[5];
    CHECK(song.track == 1);
    CHECK(song.file == "Gezeiten.flac");
    REQUIRE(song.marks.size() == 2);
    CHECK(song.marks[1].text == "section 2");
    CHECK(song.marks[1].at == label("01:00:05:00"));
    CHECK(read.events[7].record == FrameRange{label("01:00:09:05"), label("01:00:09:20")});
}

TEST_CASE("OTIO: the cut in drop frame") {
    const auto read = list(golden("drop_frame.otio"));
    CHECK(read.breaches.empty());
    CHECK(read.rate == Rate(30000, 1001));
    CHECK(read.counting == Counting::drop);
    const auto label = [](const char* text) {
        return *from_timecode(text, Rate(30000, 1001), Counting::drop);
    };
    CHECK(read.start == label("01:00:56;20"));
    REQUIRE(read.events.size() == 7);
    CHECK(read.events[0].record == FrameRange{label("01:00:56;20"), label("01:01:00;02")});
    CHECK(read.events[1].record == FrameRange{label("01:01:00;02"), label("01:01:03;12")});
    CHECK(read.events[1].retimed);
    CHECK(read.events[1].speed == Approx(7.5 * 1001 / 30000).margin(1e-12)); // M2 007.5
    CHECK(read.events[1].marks.at(0).at == label("01:01:00;12"));
    CHECK(read.events[4].file == "song.wav");
    CHECK(read.events[4].record.out == label("01:01:10;02"));
}

TEST_CASE("OTIO rule 5: a reel is one file and a file one reel") {
    const auto of = [](const std::string& children) { return rules(timeline(track("Video", children))); };
    CHECK(of(clip("A.mp4", "A", 500, 10) + "," + clip("B.mp4", "B", 500, 10)).empty());
    CHECK(of(clip("A.mp4", "A", 500, 10) + "," + clip("A.mp4", "B", 500, 10)) == Rules{5});
    CHECK(of(clip("A.mp4", "A", 500, 10) + "," + clip("B.mp4", "A", 500, 10)) == Rules{5});
    for (const char* reel : {"", "BL", "a", "A B", "ABCDEFGHI"}) {
        INFO(reel);
        CHECK(of(clip("A.mp4", reel, 500, 10)) == Rules{5});
    }
    CHECK(broken(R"("reel": "A", )", "") == Rules{5});
    CHECK(broken(R"("reel": "A"})", R"("reel": "C"})") == Rules{5}); // the reference says another
}

TEST_CASE("OTIO rule 16: a reader refuses objects of other versions and kinds, and reads on") {
    for (const auto& [from, to] :
         {std::pair{"Timeline.1", "Timeline.2"}, std::pair{"Stack.1", "Stack.2"},
          std::pair{"Track.1", "Track.2"}, std::pair{"Clip.2", "Clip.3"}, std::pair{"Gap.1", "Gap.2"},
          std::pair{"Marker.2", "Marker.1"}, std::pair{"LinearTimeWarp.1", "LinearTimeWarp.2"},
          std::pair{"ExternalReference.1", "ExternalReference.7"},
          std::pair{"RationalTime.1", "RationalTime.2"}, std::pair{"TimeRange.1", "TimeRange.0"}}) {
        CHECK(broken(from, to) == Rules{16});
        const auto read = list(with(small(), from, to));
        CHECK(read.events.size() == 4);
        CHECK(read.events[0].speed == 0.5);
        CHECK(read.events[0].marks.size() == 1);
    }
    CHECK(broken(R"("kind": "Video")", R"("kind": "video")") == Rules{16});
    CHECK(broken(R"("kind": "Video", )", "") == Rules{16});
    CHECK(broken(R"("enabled": true)", R"("enabled": 1)") == Rules{16});
    CHECK(broken(R"("effects": [])", R"("effects": {})") == Rules{16});
    CHECK(broken(R"("name": "small")", R"("name": 7)") == Rules{16});
    CHECK(list(with(small(), R"("kind": "Audio")", R"("kind": "Subtitle")")).tracks.size() == 1);
    CHECK(rules(timeline("")) == Rules{16});
}

TEST_CASE("OTIO rule 16: a clip of the first version is read by its one reference") {
    auto text = with(small(), "Clip.2", "Clip.1");
    text = with(text, R"("media_references": {"DEFAULT_MEDIA": )", R"("media_reference": )");
    text = with(text, R"("target_url": "cards/A.mp4"}}, "active_media_reference_key": "DEFAULT_MEDIA")",
                R"("target_url": "cards/A.mp4"})");
    CHECK(rules(text) == Rules{16});
    CHECK(list(text).events.at(0).file == "A.mp4");
}

TEST_CASE("OTIO rule 16: what does not belong on a track is passed over and keeps its place") {
    const auto on_track = [](const std::string& item) {
        return timeline(
            track("Video", clip("A.mp4", "A", 500, 10) + "," + item + "," + clip("B.mp4", "B", 500, 10)));
    };
    for (const char* schema : {"Stack.1", "Track.1", "Montage.1"}) {
        const auto read =
            list(on_track(fmt::format(R"({{"OTIO_SCHEMA": "{}", "source_range": {}, "children": [{}]}})",
                                      schema, range(0, 30), clip("C.mp4", "C", 500, 30))));
        REQUIRE(read.breaches.size() == 1);
        CHECK(read.breaches[0].rule == 16);
        CHECK(read.breaches[0].place == "/tracks/children/0/children/1");
        REQUIRE(read.passed_over.size() == 1);
        CHECK(read.passed_over[0] == fmt::format("/tracks/children/0/children/1: \"{}\"", schema));
        REQUIRE(read.events.size() == 2);
        CHECK(read.events[1].record == FrameRange{{90040}, {90050}});
    }
    const auto read = list(on_track(R"({"OTIO_SCHEMA": "Transition.1", "in_offset": null})"));
    CHECK(read.breaches.size() == 1);
    CHECK(read.passed_over == std::vector<std::string>{R"(/tracks/children/0/children/1: "Transition.1")"});
    CHECK(read.events.at(1).record == FrameRange{{90010}, {90020}});
    for (const char* odd : {"null", "7", "[]", "{}", R"("clip")"})
        CHECK(rules(on_track(odd)) == Rules{16});
}

TEST_CASE("OTIO rule 16: a missing reference is no file") {
    const auto read = list(with(small(), "ExternalReference.1", "MissingReference.1"));
    REQUIRE(read.breaches.size() == 1);
    CHECK(read.breaches[0].rule == 16);
    CHECK(read.breaches[0].place == "/tracks/children/0/children/0/media_references/DEFAULT_MEDIA");
    CHECK(read.events.at(0).file == "A.mp4"); // by the reference's name
    CHECK(read.passed_over.size() == 1);
}

TEST_CASE("OTIO: what is not enabled is told and shown as black or nothing") {
    const auto pictures = list(with(small(), R"("enabled": true,
"media_references")",
                                    R"("enabled": false,
"media_references")"));
    CHECK(pictures.breaches.empty());
    CHECK(pictures.passed_over ==
          std::vector<std::string>{"/tracks/children/0/children/0: a clip that is not enabled"});
    CHECK(pictures.events.at(0).black);
    CHECK(pictures.events.at(0).file.empty());
    CHECK(pictures.events.at(0).record == FrameRange{{90000}, {90040}});
    const auto sound =
        list(timeline(track("Video", clip("A.mp4", "A", 500, 40)) + "," +
                      with(track("Audio", clip("A.mp4", "A", 500, 40)), R"("enabled": true, "children")",
                           R"("enabled": false, "children")")));
    CHECK(sound.breaches.empty());
    CHECK(sound.passed_over == std::vector<std::string>{"/tracks/children/1: not enabled"});
    CHECK(sound.events.size() == 1);
}

TEST_CASE("OTIO rule 17: a reader refuses a dangling media key") {
    CHECK(broken(R"("active_media_reference_key": "DEFAULT_MEDIA")",
                 R"("active_media_reference_key": "PROXY")") == Rules{17});
    CHECK(broken(R"(, "active_media_reference_key": "DEFAULT_MEDIA")", "") == Rules{17});
    CHECK(broken(R"("active_media_reference_key": "DEFAULT_MEDIA")",
                 R"("active_media_reference_key": null)") == Rules{17});
    CHECK(broken("media_references", "media_reference") == Rules{17});
    const auto read = list(with(small(), R"("DEFAULT_MEDIA": )", R"("a/b~c": )"));
    REQUIRE(read.breaches.size() == 1);
    CHECK(read.breaches[0].place == "/tracks/children/0/children/0/active_media_reference_key");
    REQUIRE(read.passed_over.size() == 1);
    CHECK(read.passed_over[0].starts_with("/tracks/children/0/children/0/media_references/a~1b~0c: "));
    CHECK(read.events.at(0).file.empty());
}

TEST_CASE("OTIO rule 18: a reader refuses 29.97, rate 0 and what is no number") {
    const auto at_rate = [](const std::string& rate) {
        std::string text = small();
        for (std::size_t i = 0; (i = text.find("\"rate\": 25,", i)) != std::string::npos; ++i)
            text.replace(i, 11, "\"rate\": " + rate + ",");
        return text;
    };
    // 30000/1001 and 24000/1001 as double precision has them. The clips then lie elsewhere in their files (19, 20).
    for (const auto& [rate, fits] :
         {std::pair("29.97", false), std::pair("29.97002997002997", true), std::pair("23.976", false),
          std::pair("23.98", false), std::pair("23.976023976023978", true)}) {
        INFO(rate);
        CHECK(rules(at_rate(rate)).contains(18) != fits);
    }
    CHECK(list(at_rate("29.97")).rate == Rate(30000, 1001));
    CHECK(rules(at_rate("100")).contains(18)); // no timecode
    CHECK(broken(R"("rate": 25, "value": 90000)", R"("rate": 0, "value": 90000)") == Rules{18});
    CHECK(broken(R"("rate": 25, "value": 90000)", R"("rate": -25, "value": 90000)") == Rules{18});
    CHECK(broken(R"("rate": 25, "value": 90000)", R"("rate": "25", "value": 90000)") == Rules{18});
    CHECK(broken(R"("rate": 25, "value": 90000)", R"("rate": 48000, "value": 172800000)") == Rules{18});
    CHECK(broken(R"("rate": 25, "value": 90000)", R"("rate": 25)") == Rules{18});
    CHECK(broken(R"("rate": 25, "value": 510)", R"("rate": 25, "value": null)").contains(18));
    CHECK(broken(R"("rate": 50, "value": 1000)", R"("rate": 25, "value": 500)") == Rules{18}); // two rates
    CHECK(broken(R"("rate": 50, "value": 1000)", R"("rate": 1e300, "value": 1000)") == Rules{18});
}

TEST_CASE("OTIO rule 19: a source range is there, whole frames of the timeline's, inside the file") {
    CHECK(broken(R"("rate": 25, "value": 505)", R"("rate": 25, "value": 505.5)") == Rules{19});
    CHECK(broken(R"("rate": 25, "value": 505)", R"("rate": 25, "value": 499)") == Rules{19});
    CHECK(broken(R"("rate": 25, "value": 505)", R"("rate": 25, "value": 515)") == Rules{19});
    CHECK(broken(R"("rate": 50, "value": 200)", R"("rate": 50, "value": 200.5)") == Rules{19});
    CHECK(broken("\"available_range\": " + range(1000, 200, "50"), "\"available_range\": null") == Rules{19});
    const auto of = [](const std::string& source) {
        return list(timeline(track("Video", with(clip("A.mp4", "A", 500, 10), range(500, 10), source))));
    };
    for (const char* none : {"null", "7", "[]"}) {
        const auto read = of(none);
        CHECK(std::ranges::count(read.breaches, 19, &read::Breach::rule) == 1);
        CHECK(read.events.size() == (std::string(none) == "null")); // then the library takes the whole file
    }
    CHECK(of("null").events.at(0).record == FrameRange{{90000}, {90100}});
    const auto doubled =
        of(range(1001, 21, "50")); // 20.02 s and 0.42 s: frames 500.5 and 10.5, ties to the lower
    CHECK(doubled.breaches.size() == 1);
    CHECK(doubled.breaches.at(0).rule == 19);
    CHECK(doubled.events.at(0).source == FrameRange{{500}, {510}});
}

TEST_CASE("OTIO rule 19: a trim of a whole track is not followed") {
    const auto read = list(with(small(), R"("source_range": null)", "\"source_range\": " + range(0, 20)));
    REQUIRE(read.breaches.size() == 1);
    CHECK(read.breaches[0].rule == 19);
    CHECK(read.passed_over.size() == 1);
}

TEST_CASE("OTIO rule 20: a reader knows one effect, which must fit the file") {
    CHECK(broken(R"("time_scalar": 0.5)", R"("time_scalar": 2.5)").empty()); // 4 s of 4 s
    CHECK(broken(R"("time_scalar": 0.5)", R"("time_scalar": 2.6)") == Rules{20});
    CHECK(broken(R"("time_scalar": 0.5)", R"("time_scalar": 0)") == Rules{20});
    CHECK(broken(R"("time_scalar": 0.5)", R"("time_scalar": 1e300)") == Rules{20});
    CHECK(broken(R"("time_scalar": 0.5)", R"("time_scalar": "half")") == Rules{20});
    CHECK(broken(R"("effect_name": "LinearTimeWarp",)", "") == Rules{20});
    CHECK(broken(R"("effect_name": "LinearTimeWarp")", R"("effect_name": "Slow")") == Rules{20});
    CHECK(broken("LinearTimeWarp.1", "FreezeFrame.1") == Rules{20});
    CHECK(broken(R"("effects": [])", R"("effects": [{"OTIO_SCHEMA": "Effect.1"}])") == Rules{20});
    const auto other = list(with(small(), "LinearTimeWarp.1", "FreezeFrame.1"));
    CHECK_FALSE(other.events.at(0).retimed);
    CHECK(other.passed_over.size() == 1);
    const auto twice = list(with(small(), warp("0.5"), warp("0.5") + "," + warp("-0.5")));
    CHECK(twice.breaches.empty());
    CHECK(twice.events.at(0).speed == -0.25);
    const auto off = list(
        with(small(), R"("time_scalar": 0.5, "enabled": true)", R"("time_scalar": 0.5, "enabled": false)"));
    CHECK(off.breaches.empty());
    CHECK_FALSE(off.events.at(0).retimed);
    CHECK(off.passed_over.size() == 1);
}

TEST_CASE("OTIO rule 21: tracks end on one frame and begin at a label") {
    const auto read = list(with(small(), gap(10) + "]", gap(9) + "]"));
    REQUIRE(read.breaches.size() == 1);
    CHECK(read.breaches[0].rule == 21);
    CHECK(read.breaches[0].place == "/tracks/children/1");
    const std::string start = "\"global_start_time\": " + instant(90000) + ",";
    CHECK(broken(start, "") == Rules{21});
    CHECK(broken(start, "\"global_start_time\": null,") == Rules{21});
    CHECK(list(with(small(), start, "")).events.at(0).record.in == Frame{0});
    CHECK(broken(start, "\"global_start_time\": " + instant(-1) + ",") == Rules{21});
    CHECK(broken(start, "\"global_start_time\": " + instant(24 * 3600 * 25) + ",") == Rules{21});
    CHECK(broken(start, "\"global_start_time\": " + instant(24 * 3600 * 25 - 1) + ",").empty());
}

TEST_CASE("OTIO rule 22: markers stand in clip time, in a colour of the library's") {
    for (const double inside : {500., 539.})
        CHECK(rules(with(small(), marker(510), marker(inside))).empty());
    for (const double outside : {499., 540., 0., 510.5})
        CHECK(rules(with(small(), marker(510), marker(outside))) == Rules{22});
    CHECK(list(with(small(), marker(510), marker(540))).events.at(0).marks.empty());
    CHECK(broken(R"("color": "RED")", R"("color": "red")") == Rules{22});
    CHECK(broken(R"("color": "RED", )", "") == Rules{22});
    CHECK(broken("\"marked_range\": " + range(510, 1), "\"marked_range\": null") == Rules{22});
    CHECK(broken("\"marked_range\": " + range(510, 1), "\"marked_range\": " + range(1020, 2, "50")) ==
          Rules{22});
    CHECK(broken("\"marked_range\": " + range(510, 1), "\"marked_range\": " + range(510, 0)).empty());
}

TEST_CASE("OTIO rule 23: target_url is file:/// or relative, and percent-encoded") {
    const auto of = [](const std::string& url) { return with(small(), "cards/A.mp4", url); };
    for (const char* good : {"A.mp4", "../cards/A.mp4", ".cards/A.mp4", "file:///D:/cards/A.mp4",
                             "file://host/s/A.mp4", "day%202/A%2B%23.mp4", "a(1)/A,b;c=d@e+f.mp4"})
        CHECK(rules(of(good)).empty());
    for (const char* bad : {"",
                            "./A.mp4",
                            "/cards/A.mp4",
                            "D:/cards/A.mp4",
                            "http://host/A.mp4",
                            "file:/cards/A.mp4",
                            "file://A.mp4",
                            "day 2/A.mp4",
                            "D\xC3\xBCne.mp4",
                            "A%2.mp4",
                            "A%zz.mp4",
                            "A%",
                            "cards/",
                            "cards/..",
                            "A.mp4?x",
                            "A#3.mp4",
                            "cards\\\\A.mp4",
                            "A%FF.mp4",
                            "A%00.mp4",
                            "a%2Fb.mp4",
                            "A\\u0001.mp4"}) {
        INFO(bad);
        CHECK(rules(of(bad)) == Rules{23});
    }
    CHECK(broken(R"("target_url": "cards/A.mp4")", R"("target_url": null)") == Rules{23});
    CHECK(broken(R"(,
"target_url": "cards/A.mp4")",
                 "") == Rules{23});
    CHECK(list(of("../day%202/D%C3%BCne%20%233.mp4")).events.at(0).file == "D\xC3\xBCne #3.mp4");
    CHECK(list(of("cards/")).events.at(0).file == "A.mp4"); // the reference's name
    CHECK(list(of("A%FF.mp4")).events.at(0).file == "A%FF.mp4");
}

TEST_CASE("OTIO rule 24: strict JSON, and metadata under one name") {
    for (const std::string& bad : {"\xEF\xBB\xBF" + small(), small() + ",", with(small(), "0.5", "NaN"),
                                   with(small(), "0.5", "Infinity"), with(small(), "0.5", "1e999"),
                                   with(small(), R"("name": "small")", R"("name": "a", "name": "b")"),
                                   with(small(), "]}", ",]}"), with(small(), "small", "sm\xFF")}) {
        const auto read = read::otio(bad, "small.otio");
        REQUIRE_FALSE(read);
        CHECK(read.error().fault == Fault::bad_input);
        CHECK(read.error().where.starts_with("small.otio:"));
    }
    const auto read =
        list(with(small(), R"("metadata": {})", R"("metadata": {"a/b": {"x": 1}, "downball": {}})"));
    REQUIRE(read.breaches.size() == 1);
    CHECK(read.breaches[0].rule == 24);
    CHECK(read.breaches[0].place == "/tracks/metadata/a~1b");
    CHECK(broken(R"("metadata": {})", R"("metadata": [])") == Rules{24});
    CHECK(broken(R"("metadata": {})", R"("metadata": {"downball": 3})") == Rules{24});
    CHECK(broken(R"("shot": "T1")", R"("shot": 1)") == Rules{24});
    CHECK(broken(R"("drop_frame": false)", R"("drop_frame": true)") == Rules{24}); // none at 25
    CHECK(broken(R"("drop_frame": false)", R"("drop_frame": "no")") == Rules{24});
}

TEST_CASE("OTIO rule 25: a file's time has one origin") {
    // B stands twice; its second range begins a frame of the file later, and ends where it did.
    auto text = small();
    const auto last = text.rfind(range(1000, 200, "50"));
    text.replace(last, range(1000, 200, "50").size(), range(1001, 199, "50"));
    const auto read = list(text);
    REQUIRE(read.breaches.size() == 1);
    CHECK(read.breaches[0].rule == 25);
    CHECK(read.breaches[0].place ==
          "/tracks/children/1/children/0/media_references/DEFAULT_MEDIA/available_range");
}

TEST_CASE("OTIO rule 26: a reader refuses what a library loads: durations of 0 and below, and years") {
    const auto of = [](const std::string& item) {
        return list(timeline(track("Video", item + "," + clip("A.mp4", "A", 500, 10))));
    };
    for (const double length : {0., -1., -1e18, 1e300, 9223372036854775808.}) {
        INFO(length);
        const auto read = of(gap(length));
        REQUIRE(read.breaches.size() == 1);
        CHECK(read.breaches[0].rule == 26);
        REQUIRE(read.events.size() == 1);
        CHECK(read.events[0].record == FrameRange{{90000}, {90010}});
    }
    const auto whole_numbers = of(with(gap(7), "\"value\": 7", "\"value\": 9223372036854775807"));
    CHECK(whole_numbers.events.size() == 1);
    // 20 days each: the second no longer fits into 30.
    const auto days = of(gap(20. * 86400 * 25) + "," + gap(20. * 86400 * 25));
    REQUIRE(days.breaches.size() == 1);
    CHECK(days.breaches[0].rule == 26);
    CHECK(days.events.size() == 2);
    CHECK(rules(with(small(), range(1000, 200, "50"), range(1000, -200, "50"))) == Rules{26});
    CHECK(rules(with(small(), range(510, 1), range(510, -1))) == Rules{26});
}

TEST_CASE("OTIO: the rate comes from the first item where the start tells none") {
    const auto text = with(small(), R"("rate": 25, "value": 90000)", R"("rate": null, "value": 90000)");
    CHECK(list(text).rate == Rate(25));
    CHECK(list(text).start == Frame{0});
}

TEST_CASE("OTIO: what is no timeline is an error that says where") {
    for (const char* none :
         {"", "7", "[]", "{}", "null", R"({"OTIO_SCHEMA": 1})", R"({"OTIO_SCHEMA": "Clip.2"})",
          R"({"OTIO_SCHEMA": "Timelines.1"})", R"({"OTIO_SCHEMA": "Timeline.1"})"}) {
        INFO(none);
        const auto read = read::otio(none, "no.otio");
        REQUIRE_FALSE(read);
        CHECK(read.error().fault == Fault::bad_input);
        CHECK(read.error().where.starts_with("no.otio"));
    }
    const auto rate = read::otio(with(timeline(""), R"("rate": 25, )", R"("rate": 1e300, )"), "no.otio");
    REQUIRE_FALSE(rate);
    CHECK(rate.error().where == "no.otio /global_start_time");
    CHECK_FALSE(read::otio(std::string(300, '['), "deep.otio"));
}

TEST_CASE("OTIO: other members are passed over by name, empty ones in silence") {
    const auto read =
        list(with(small(), R"("name": "small")", R"("name": "small", "colour~": {}, "color": null)"));
    CHECK(read.breaches.empty());
    CHECK(read.passed_over ==
          std::vector<std::string>{"/colour~0: an object without OTIO_SCHEMA is not looked at"});
}

TEST_CASE("OTIO: any value may be of any type or missing") {
    auto root = *text::parse_json(small(), "small.otio");
    std::size_t count = 0;
    each_value(root, [&](Json&) { ++count; });
    REQUIRE(count > 100);
    const std::vector<Json> odd{nullptr,
                                true,
                                false,
                                0,
                                -1,
                                0.5,
                                1e300,
                                -1e300,
                                1e-300,
                                9223372036854775807,
                                9223372036854775808.0,
                                "",
                                "Clip.2",
                                text::JsonArray{},
                                text::JsonArray{nullptr},
                                text::JsonObject{},
                                text::JsonObject{{"OTIO_SCHEMA", "Stack.1"}}};
    for (std::size_t chosen = 0; chosen < count; ++chosen)
        for (const Json& value : odd) {
            auto spoilt = root;
            std::size_t n = 0;
            bool done = false;
            each_value(spoilt, [&](Json& inner) {
                if (!done && n++ == chosen) {
                    inner = value;
                    done = true;
                }
            });
            check_sound(text::to_text(spoilt));
        }
    for (std::size_t chosen = 0; chosen < count; ++chosen) {
        auto spoilt = root;
        std::size_t n = 0;
        const auto drop = [&](Json& value) {
            if (!value.is_object()) return;
            auto& members = value.object();
            if (chosen >= n && chosen < n + members.size())
                members.erase(members.begin() + static_cast<std::ptrdiff_t>(chosen - n));
            n += members.size() + 1;
        };
        drop(spoilt);
        each_value(spoilt, drop);
        check_sound(text::to_text(spoilt));
    }
}

TEST_CASE("OTIO: changed bytes never stop the reader") {
    const std::string whole = golden("strandtag.otio");
    SplitMix64 dice(20);
    using namespace std::string_view_literals; // a zero byte is among them
    constexpr auto bytes = "0123456789.eE-+\"{}[]:,tfn~/\\ \n\x00\xFF"sv;
    std::size_t read = 0;
    for (int round = 0; round < 3000; ++round) {
        std::string text = whole;
        for (auto changes = 1 + dice.next() % 3; changes > 0; --changes)
            text[dice.next() % text.size()] = bytes[dice.next() % bytes.size()];
        check_sound(text);
        read += read::otio(text, "spoilt.otio") ? 1 : 0;
    }
    CHECK(read > 300); // not all of them are stopped by the parser
}

TEST_CASE("OTIO: ten thousand clips") {
    std::string children;
    for (int i = 0; i < 10'000; ++i)
        children += (i ? "," : "") + clip(fmt::format("{}.mp4", i), fmt::format("R{}", i), 500 + i % 50, 10);
    const auto read = list(timeline(track("Video", children)));
    CHECK(read.breaches.empty());
    REQUIRE(read.events.size() == 10'000);
    CHECK(read.events.back().record == FrameRange{{90000 + 99'990}, {90000 + 100'000}});
}
