// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "unit/media/clips.h"

#include "downball/media/probe.h"

// What cameras write beside the pictures, in the containers in which they do; the ffmpeg program writes it here.
using namespace downball;
using namespace downball::test;

namespace {

// ffprobe's word on which places hold the tag, so that a case is what it is called.
std::string places_of(const std::string& path, const std::string& tag, const TempFolder& folder) {
    const auto out = folder / "places.txt";
    const auto command = // all tags, since Matroska spells them in capitals
        fmt::format(
            "ffprobe -v error -show_entries stream=codec_type:stream_tags:format_tags -of compact {} > {}",
            path, out);
    REQUIRE(std::system(command.c_str()) == 0);
    std::ifstream file(out);
    std::string places, line;
    while (std::getline(file, line)) {
        std::ranges::transform(line, line.begin(), [](unsigned char c) { return std::tolower(c); });
        if (line.find("tag:" + tag) == std::string::npos) continue;
        places += line.starts_with("format")                 ? "file "
                  : line.find("=video") != std::string::npos ? "picture "
                                                             : "data ";
    }
    return places;
}

} // namespace

TEST_CASE("a start label is read from the picture track, the timecode track and the file") {
    TempFolder folder;
    struct Case {
        std::string name, codec, places;
    };
    for (const auto& c : {Case{"c.mov", h264, "picture data "}, Case{"c.mp4", h264, "picture data "},
                          Case{"c.mkv", h264, "file "}, Case{"c.avi", "-c:v mpeg4 ", "file "},
                          Case{"c.mxf", "-c:v mpeg2video ", "file "}}) {
        CAPTURE(c.name);
        const auto path = folder / c.name;
        ffmpeg(bars("25", 0.5) + c.codec + "-timecode 10:11:12:13 " + path);
        CHECK(places_of(path, "timecode", folder) == c.places);
        const auto info = must_probe(path);
        REQUIRE(info.start);
        CHECK(info.start->label == "10:11:12:13");
        CHECK(info.start->at.n == ((10 * 60 + 11) * 60 + 12) * 25 + 13);
        CHECK(info.start->rate == Rate(25));
    }
}

TEST_CASE("a label counts at the rate of its timecode track, not at that of the pictures") {
    TempFolder folder;
    struct Case {
        std::string pictures, label_rate, label;
        std::int64_t at;
    };
    for (const auto& c :
         {Case{"50", "25", "10:00:00:20", 900020}, Case{"120000/1001", "30000/1001", "01:02:03:04", 111694},
          Case{"100", "25", "00:00:01:24", 49}, Case{"120", "24", "00:00:01:23", 47}}) {
        CAPTURE(c.pictures);
        ffmpeg(bars(c.label_rate, 0.5) + h264 + "-timecode '" + c.label + "' " + (folder / "label.mov"));
        ffmpeg(bars(c.pictures, 0.5) + "-r " + c.pictures + " " + h264 + (folder / "plain.mov"));
        ffmpeg("-i " + (folder / "plain.mov") + " -i " + (folder / "label.mov") +
               " -map 0:v -map 1:d -c copy -write_tmcd 0 " + (folder / "both.mov"));
        const auto info = must_probe(folder / "both.mov");
        REQUIRE(info.rate);
        CHECK(to_string(*info.rate) == c.pictures);
        REQUIRE(info.start);
        CHECK(info.start->label == c.label);
        CHECK(to_string(info.start->rate) == c.label_rate);
        CHECK(info.start->at.n == c.at);
    }
}

TEST_CASE("a label of a variable-rate file counts at the rate nearest to its pictures'") {
    TempFolder folder;
    ffmpeg(bars("30") + "-vf select='not(between(n\\,20\\,21))' -vsync vfr " + h264 +
           "-timecode 00:00:10:15 " + (folder / "phone.mkv"));
    const auto info = must_probe(folder / "phone.mkv");
    CHECK(info.variable_rate);
    REQUIRE(info.start);
    CHECK(info.start->label == "00:00:10:15");
    CHECK(info.start->rate == Rate(30));
    CHECK(info.start->at.n == 315);
}

TEST_CASE("the reel that a camera wrote is read where it stands") {
    TempFolder folder;
    const std::string label = "-timecode 01:00:00:00 ";
    struct Case {
        std::string name, arguments, places;
    };
    for (const auto& c :
         {Case{"c.mov", h264 + label + "-metadata:s:v:0 reel_name=' A012R7XY '", "data "},
          Case{"c.mkv", h264 + label + "-metadata reel_name=A012R7XY", "file "},
          Case{"t.mkv", h264 + "-metadata:s:v:0 reel_name=A012R7XY", "picture "},
          Case{"c.mxf", "-c:v mpeg2video " + label + "-metadata reel_name=A012R7XY", "picture "}}) {
        CAPTURE(c.name);
        ffmpeg(bars("25", 0.4) + c.arguments + " " + (folder / c.name));
        CHECK(places_of(folder / c.name, "reel_name", folder) == c.places);
        CHECK(must_probe(folder / c.name).card_reel == "A012R7XY");
    }
    ffmpeg(bars("25", 0.4) + h264 + "-metadata tape=TAPE7 " + (folder / "tape.mkv"));
    CHECK(must_probe(folder / "tape.mkv").card_reel == "TAPE7");
    ffmpeg(bars("25", 0.4) + h264 + label + (folder / "none.mov"));
    CHECK(must_probe(folder / "none.mov").card_reel.empty());
}

TEST_CASE("without its id a file is the same in all else") {
    TempFolder folder;
    ffmpeg(bars("25", 0.4) + h264 + "-timecode 01:00:00:00 " + (folder / "c.mov"));
    const auto whole = must_probe(folder / "c.mov");
    const auto quick = media::probe(folder / "c.mov", {.id = false});
    REQUIRE(quick);
    CHECK(quick->id.empty());
    CHECK(quick->bytes == whole.bytes);
    CHECK(quick->duration_s == whole.duration_s);
    CHECK(quick->average_fps == whole.average_fps);
    CHECK(quick->start->label == whole.start->label);
}
