// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "unit/media/clips.h"

#include "downball/media/probe.h"

// When a file was recorded and by what, as recorders and cameras write it; the ffmpeg program writes it here.
using namespace downball;
using namespace downball::test;

namespace {

// A WAVE file with a broadcast audio extension chunk (EBU Tech 3285).
MediaInfo broadcast_wave(int rate_hz, const std::string& tags) {
    TempFolder folder;
    ffmpeg(fmt::format("-f lavfi -i sine=r={}:d=0.5 -write_bext 1 {} {}", rate_hz, tags, folder / "t.wav"));
    return must_probe(folder / "t.wav");
}

MediaInfo with_device(const std::string& name, const std::string& tags) {
    TempFolder folder;
    ffmpeg(bars("25", 0.2) + h264 + tags + " " + (folder / name));
    return must_probe(folder / name);
}

} // namespace

// EBU Tech 3285: TimeReference is the first sample's count since midnight. 15:53:28.5 is 57208.5 s.
TEST_CASE("a broadcast chunk tells the time of day of a sound file, and its date") {
    for (const auto& [rate_hz, samples] : {std::pair(48000, "2746008000"), std::pair(44100, "2522894850")}) {
        CAPTURE(rate_hz);
        const auto info = broadcast_wave(
            rate_hz, fmt::format("-metadata time_reference={} -metadata origination_date=2026-07-18 "
                                 "-metadata origination_time=15:53:29",
                                 samples));
        REQUIRE(info.time_of_day_s);
        CHECK(*info.time_of_day_s == Approx(57208.5).epsilon(1e-12));
        CHECK(info.created == "2026-07-18T15:53:29");
        CHECK_FALSE(info.start);
        CHECK_FALSE(info.has_video);
    }
}

// EBU Tech 3285 recommends - _ : blank and stop between the items of date and time, and allows anything (from memory).
TEST_CASE("a broadcast chunk's date and time are read whatever stands between their items") {
    for (const auto& [date, time] :
         {std::pair("2026_07_18", "15_53_29"), std::pair("2026:07:18", "15-53-29"),
          std::pair("2026.07.18", "15.53.29"), std::pair("2026/07/18", "15 53 29")}) {
        CAPTURE(date, time);
        const auto info = broadcast_wave(
            48000, fmt::format("-metadata time_reference=2746008000 -metadata origination_date={} "
                               "-metadata 'origination_time={}'",
                               date, time));
        CHECK(info.created == "2026-07-18T15:53:29");
    }
}

TEST_CASE("a sound file that says nothing of its time has none") {
    TempFolder folder;
    write_clicks(folder / "c.wav", 8000, 1);
    const auto plain = must_probe(folder / "c.wav");
    CHECK_FALSE(plain.time_of_day_s);
    CHECK_FALSE(plain.created);
    CHECK(plain.device.empty());
}

TEST_CASE("maker and model are the device, as keys or as user data") {
    const std::string plain = "-metadata make=Kestrel -metadata 'model= K 7 '";
    const std::string keys = "-metadata com.apple.quicktime.make=Kestrel "
                             "-metadata 'com.apple.quicktime.model=K 7' -movflags use_metadata_tags";
    CHECK(with_device("c.mov", plain).device == "Kestrel K 7");
    CHECK(with_device("k.mov", plain + " -movflags use_metadata_tags").device == "Kestrel K 7");
    CHECK(with_device("a.mov", keys).device == "Kestrel K 7");
    CHECK(with_device("a.mp4", keys).device == "Kestrel K 7");
    CHECK(with_device("m.mov", "-metadata model=K7").device == "K7");
    CHECK(with_device("n.mov", "").device.empty());
}
