// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "support/hand_report.h"

#include "downball/text/json.h"

using namespace downball;
using text::Json;

namespace {

Json parsed(const test::HandReport& hand) {
    const auto value = text::parse_json(hand.text(), "report");
    REQUIRE(value);
    return *value;
}

const Json& at(const Json& value, const std::string& key) {
    const Json* found = value.find(key);
    REQUIRE(found);
    return *found;
}

} // namespace

TEST_CASE("the report fits its schema") {
    const auto fits = text::validate(parsed({}), "report", "report");
    INFO((fits ? "" : fits.error().what));
    CHECK(fits);
}

TEST_CASE("each anchor says where it is in file, song and record") {
    const auto report = parsed({});
    const auto& shot = at(report, "shots").array().at(0);
    CHECK(at(shot, "file").string() == "C1_0001.mp4");
    CHECK(at(at(shot, "record"), "in_label").string() == "01:00:00:00");
    CHECK(at(at(shot, "source"), "in").integer() == 38);
    CHECK(at(at(shot, "source"), "in_label").string() == "10:00:01:13");
    const auto& anchor = at(shot, "anchors").array().at(0);
    CHECK(at(anchor, "picture_s").number() == 2.02);
    CHECK_FALSE(at(anchor, "skill_sure").boolean());
    CHECK(at(anchor, "beat_s").number() == 2.5);
    CHECK(at(anchor, "beat_record_s").number() == 0.5);
    CHECK(at(anchor, "shown_record_s").number() == 0.5);
    CHECK(at(anchor, "error_s").number() == 0);
    CHECK(at(anchor, "holds").boolean());
    CHECK(at(shot, "m2").is_null());
    CHECK(at(at(report, "shots").array().at(1), "m2").number() == 6.2);
    CHECK(at(at(report, "shots").array().at(2), "file").is_null());
}

TEST_CASE("sync, score and what was left out add up") {
    const auto report = parsed({});
    const auto& sync = at(report, "sync");
    CHECK(at(sync, "anchors").integer() == 3);
    // Errors in frames: 0; 2.5/0.248 - 10; 0.5 (197 - 190 = 7 frames in at record 230, beat at 9.5 s =
    // 237.5).
    const double second = 2.5 / 0.248 - 10;
    CHECK(at(sync, "mean_frames").number() == Approx((second - 0.5) / 3).margin(1e-6));
    CHECK(at(sync, "worst_frames").number() == Approx(0.5).margin(1e-6));
    CHECK(at(sync, "within_half_frame").integer() == 3);
    CHECK(at(at(report, "score"), "gap").number() == Approx(0.25 / 3).margin(1e-6));
    CHECK(at(at(report, "beats"), "in_cut").integer() == 20); // 2 s to 12 s
    REQUIRE(at(report, "left_out").array().size() == 1);
    CHECK(at(at(report, "left_out").array()[0], "take").string() == "T4");
    CHECK(at(at(report, "left_out").array()[0], "use").string() == "never");
}

TEST_CASE("the song as cut stands in the report with its original, pieces and jump") {
    test::HandReport hand;
    SongCut cut;
    cut.pieces = {{10, 16}, {40.5, 44}};
    cut.crossfade_s = 0.02;
    cut.fade_out_s = 1.5;
    cut.silence_s = 0.5;
    cut.likeness = 0.93;
    cut.ending = SongEnding::phrase;
    hand.song =
        write::SongAsCut{cut, "/shoot/song/Gezeiten.flac", "4444444444444444", 48000, 2, 480000, -0.3, 512};
    hand.kept = {{"Strandtag-part1.edl", "0aff"}};
    const auto report = parsed(hand);
    CHECK(text::validate(report, "report", "report"));
    const auto& song = at(at(report, "song"), "cut");
    CHECK(at(song, "original").string() == "/shoot/song/Gezeiten.flac");
    CHECK(at(song, "original_id").string() == "4444444444444444");
    REQUIRE(at(song, "pieces").array().size() == 2);
    CHECK(at(at(song, "pieces").array()[0], "out_s").number() == 16);
    CHECK(at(at(song, "pieces").array()[1], "in_s").number() == 40.5);
    CHECK(at(at(song, "pieces").array()[1], "record_s").number() == 6);
    CHECK(at(song, "ending").string() == "phrase");
    CHECK(at(song, "gain_db").number() == -0.3);
    CHECK(at(at(report, "beats"), "in_song").integer() == 512); // of the whole song, not of what is heard
    CHECK(at(at(report, "outputs").array().at(1), "kept").boolean());
    CHECK_FALSE(at(parsed({}), "song").find("cut"));
}
