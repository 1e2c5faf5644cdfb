// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/text/json.h"

#include <algorithm>

using namespace downball;
using namespace downball::text;

namespace {

Result<void> check(std::string_view rest) {
    const std::string text = R"({"downball": 1, "song": {"file": "s.wav"}, "footage": ["clips"])" +
                             std::string(rest.empty() ? "" : ", ") + std::string(rest) + "}";
    const auto value = parse_json(text, "job.json");
    REQUIRE(value);
    return validate(*value, "job", "job.json");
}

std::string complaint(std::string_view rest) {
    const auto result = check(rest);
    REQUIRE_FALSE(result);
    CHECK(result.error().fault == Fault::bad_input);
    return to_string(result.error());
}

} // namespace

TEST_CASE("a job with nothing but the needed members fits") {
    CHECK(check(""));
}

TEST_CASE("a whole double counts as a whole number") {
    CHECK(check(R"("pacing": {"handle_frames": 3.0, "longest_s": 4})"));
    CHECK_FALSE(check(R"("pacing": {"handle_frames": 3.5})"));
}

TEST_CASE("a breach is told in one sentence with its place, what was found and what was expected") {
    CHECK(complaint(R"("pacing": {"longest_s": "four"})") ==
          "job.json /pacing/longest_s: found \"four\", expected a number of seconds above 0 and up to 86400");
    CHECK(complaint(R"("pacing": {"longest_s": 0})") ==
          "job.json /pacing/longest_s: found 0, expected a number of seconds above 0 and up to 86400");
    CHECK(complaint(R"("variety": {"slow_motion_share_max": 1.5})") ==
          "job.json /variety/slow_motion_share_max: found 1.5, expected a number from 0 to 1");
    CHECK(complaint(R"("pacing": {"lead_in_s": [0.1]})") ==
          "job.json /pacing/lead_in_s: found a list of 1, expected a list of 2");
    CHECK(complaint(R"("pacing": {"lead_in_s": [0.1, "x"]})") ==
          "job.json /pacing/lead_in_s/1: found \"x\", expected a number of seconds from 0 to 86400");
    CHECK(complaint(R"("cameras": {"A": {"distance_m": -1}})") ==
          "job.json /cameras/A/distance_m: found -1, expected a number of metres from 0 to 1000");
    CHECK(complaint(R"("name": "")") ==
          "job.json /name: found \"\", expected text in double quotes, not empty");
    CHECK(complaint(R"("sound": {"natural": 1})") ==
          "job.json /sound/natural: found 1, expected true or false");
}

TEST_CASE("an unknown member is answered with the nearest known one, or with all of them") {
    CHECK(complaint(R"("pacing": {"longst_s": 3})") ==
          "job.json /pacing: found the unknown member \"longst_s\"; did you mean \"longest_s\"?");
    CHECK(complaint(R"("story": {"colour": 3})") ==
          "job.json /story: found the unknown member \"colour\"; known here: order");
}

TEST_CASE("an unknown word is answered with the nearest known one") {
    CHECK(complaint(R"("story": {"order": "chronologic"})") ==
          "job.json /story/order: found \"chronologic\", expected \"free\", \"chronological\" or \"story\"; "
          "did you "
          "mean \"chronological\"?");
}

TEST_CASE("all breaches come at once, a line each") {
    const std::string all = complaint(R"("pacing": {"longest_s": "x", "wrong": 1}, "locks": [{}], "log": 5)");
    CHECK(all.find("/pacing/longest_s: found \"x\"") != std::string::npos);
    CHECK(all.find("/pacing: found the unknown member \"wrong\"") != std::string::npos);
    CHECK(all.find("/locks/0: the member \"shot\" is missing; expected text") != std::string::npos);
    CHECK(all.find("/log: found 5, expected text") != std::string::npos);
    CHECK(std::count(all.begin(), all.end(), '\n') == 3);
}

TEST_CASE("a missing member and a wrong top are told") {
    const auto none =
        validate(*parse_json("{\"downball\": 1, \"footage\": [\"a\"]}", "x"), "job", "job.json");
    REQUIRE_FALSE(none);
    CHECK(none.error().what == "the member \"song\" is missing; expected an object in braces");
    CHECK(none.error().where == "job.json");
    const auto list = validate(*parse_json("[]", "x"), "job", "job.json");
    REQUIRE_FALSE(list);
    CHECK(list.error().what == "found a list of 0, expected an object in braces");
    const auto version =
        validate(*parse_json(R"({"downball": 2, "song": {"file": "s"}, "footage": ["a"]})", "x"), "job", "j");
    REQUIRE_FALSE(version);
    CHECK(to_string(version.error()) == "j /downball: found 2, expected 1");
}

TEST_CASE("a member's name is escaped in its place as RFC 6901 says") {
    CHECK(complaint(R"("cameras": {"a/b~c": 1})")
              .starts_with("job.json /cameras/a~1b~0c: found 1, expected an object"));
    CHECK(complaint(R"("cameras": {"3": 1})").starts_with("job.json /cameras/3: found 1"));
}

TEST_CASE("a schema that is not there is our own fault") {
    const auto result = validate(Json(JsonObject{}), "nosuch", "x");
    REQUIRE_FALSE(result);
    CHECK(result.error().fault == Fault::internal);
}

TEST_CASE("the schemas of beats and impacts take what they describe and nothing else") {
    const auto fits = [](const char* schema, std::string_view text) {
        return bool(validate(*parse_json(text, "x"), schema, "x"));
    };
    const std::string rest = R"("file":"s.wav","duration_s":60.5,"tempo_bpm":128,"beats_per_bar":4,
        "steady":true,"residual_s":0.001,"confidence":0.9,"downbeat_confidence":0.5,"loudness_lufs":-14,
        "arrival_beat":null,"arrival_confidence":0,
        "sections":[{"first_beat":0,"last_beat":1,"energy":0.5,"confidence":1}],
        "bars_per_phrase":8,"phrase_confidence":0,"phrases":[{"first_beat":0,"last_beat":1}],
        "beats":[{"seconds":0.5,"position":1,"strength":0.4,"energy":0.5,"low_end":0.5,"loudness_lufs":-14}]})";
    CHECK(fits("beats", R"({"downball_beats":1,"said":{},)" + rest));
    CHECK(fits("beats", R"({"downball_beats":1,"said":{"bpm":128,"beats_per_bar":4},"division":2,
        "other_tempi":[{"tempo_bpm":64,"likelihood":0.2}],)" +
                            rest));
    CHECK_FALSE(fits("beats", R"({"downball_beats":1,)" + rest));
    CHECK_FALSE(fits("beats", R"({"downball_beats":2,"said":{},)" + rest));
    CHECK_FALSE(fits("beats", R"({"downball_beats":1,"said":{"bpm":5},)" + rest));
    CHECK_FALSE(fits("beats", R"({"downball_beats":1,"said":{},"division":5,)" + rest));
    CHECK_FALSE(fits("beats", R"({"downball_beats":1,"said":{},"tempi":[],)" + rest));
    CHECK_FALSE(fits("beats", R"({"downball_beats":1})"));
    const auto contact = [&](const std::string& members) {
        return fits("impacts",
                    R"({"downball_impacts":1,"file":"a.mp4","crowd":0.5,"notes":[],"contacts":[{)" + members +
                        "}]}");
    };
    CHECK(contact(R"("seconds":1,"confidence":1,"strength":0,"hard":0.3,"rally":0)"));
    CHECK(contact(R"("seconds":1,"confidence":0.1,"strength":0,"hard":0.3,"rally":null)"));
    CHECK_FALSE(contact(R"("seconds":1,"confidence":2,"strength":0,"hard":0.3,"rally":0)"));
    CHECK_FALSE(contact(R"("seconds":1,"confidence":1,"strength":0,"hard":1.1,"rally":0)"));
    CHECK_FALSE(contact(R"("seconds":1,"confidence":1,"strength":0,"hard":0.3,"rally":-1)"));
    CHECK_FALSE(contact(R"("seconds":1,"confidence":1,"strength":0,"hard":0.3,"rally":0.5)"));
    CHECK_FALSE(contact(R"("seconds":1,"confidence":1,"strength":0)"));
}
