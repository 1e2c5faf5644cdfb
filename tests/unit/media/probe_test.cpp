// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "unit/media/clips.h"

#include "downball/media/probe.h"

using namespace downball;
using namespace downball::test;

namespace {} // namespace

TEST_CASE("a camera clip says what it is") {
    TempFolder folder;
    write_clicks(folder / "c.wav", 48000, 2);
    const auto path = folder / "C1_0004.mp4";
    ffmpeg(bars("50") + "-i " + (folder / "c.wav") + " " + h264 +
           "-c:a aac -metadata creation_time=2024-06-01T09:30:00Z " + path);
    const auto info = must_probe(path);
    CHECK(info.path == path);
    CHECK(info.name == "C1_0004.mp4");
    CHECK(info.bytes == std::filesystem::file_size(path));
    CHECK(info.id.size() == 16);
    CHECK(info.has_video);
    CHECK(info.rate == Rate(50));
    CHECK(info.frames.constant == Rate(50));
    CHECK_FALSE(info.variable_rate);
    CHECK(info.average_fps == 50);
    CHECK(info.duration_s == Approx(2));
    CHECK(info.width == 160);
    CHECK(info.height == 90);
    CHECK(info.rotation == 0);
    CHECK_FALSE(info.start);
    CHECK(info.created == "2024-06-01T09:30:00.000000Z");
    REQUIRE(info.audio);
    CHECK(info.audio->rate_hz == 48000);
    CHECK(info.audio->channels == 2);
    CHECK(info.audio->first_s == Approx(0).margin(1e-6));
    CHECK(info.audio->end_s == Approx(2).margin(0.001));
}

TEST_CASE("rates for high speed are told apart, with and without an index") {
    TempFolder folder;
    for (const auto* rate : {"100", "120000/1001", "120"})
        for (const auto* ending : {"mp4", "mkv", "ts"}) {
            CAPTURE(rate, ending);
            const auto path = folder / (std::string("c.") + ending);
            ffmpeg(bars(rate) + "-r " + rate + " " + h264 + path);
            const auto info = must_probe(path);
            REQUIRE(info.rate);
            CHECK(to_string(*info.rate) == rate);
            CHECK_FALSE(info.audio);
            // Whole milliseconds in Matroska, 1/90000 s in a transport stream, the rate's own ticks in MP4.
            const bool ntsc = info.rate == Rate(120000, 1001);
            const bool rounds = path.ends_with("mkv") ? info.rate != Rate(100) : path.ends_with("ts") && ntsc;
            CHECK((info.frames.off_s > 1e-7) == rounds);
            CHECK(info.frames.off_s < 0.0011);
        }
}

TEST_CASE("a variable rate gives each picture's instant") {
    TempFolder folder;
    // Picture n is shown at (n + 0.35 sin 1.7 n) / 30 s, rounded to the time base of 1/90000.
    for (const auto* ending : {"mp4", "ts"}) {
        CAPTURE(ending);
        const auto path = folder / (std::string("phone.") + ending);
        ffmpeg(bars("30") +
               "-vf settb=1/90000,setpts='(N+0.35*sin(N*1.7))/30/TB' -vsync vfr -enc_time_base 1/90000 "
               "-video_track_timescale 90000 " +
               h264 + path);
        const auto info = must_probe(path);
        CHECK(info.variable_rate);
        CHECK_FALSE(info.rate);
        CHECK_FALSE(info.frames.constant);
        CHECK(info.average_fps == Approx(30).epsilon(0.02));
        REQUIRE(info.frames.shown_s.size() == 60);
        for (std::size_t n = 0; n < 60; ++n) {
            const auto put = (static_cast<double>(n) + 0.35 * std::sin(static_cast<double>(n) * 1.7)) / 30;
            CHECK(std::abs(info.frames.shown_s[n] - put) < 1.5 / 90000);
        }
        CHECK(std::ranges::is_sorted(info.frames.shown_s));
        CHECK(info.frames.shown_s.front() == 0);
        CHECK(info.duration_s == Approx(2).margin(0.05));
    }
}

TEST_CASE("the last picture of a variable rate is up until the track ends") {
    TempFolder folder;
    const auto path = folder / "joined.mp4";
    // A second at 30 pictures a second, half a second at 60; the last one is as long as the muxer says, a thirtieth.
    ffmpeg(bars("30") +
           "-vf settb=1/90000,setpts='3000*N-750*(N-30+abs(N-30))' -vsync passthrough "
           "-enc_time_base 1/90000 -video_track_timescale 90000 -bf 2 " +
           h264 + path);
    const auto info = must_probe(path);
    REQUIRE(info.variable_rate);
    CHECK(info.frames.shown_s.back() == Approx(1 + 29 / 60.0));
    CHECK(info.duration_s == Approx(1 + 29 / 60.0 + 1 / 30.0).margin(1e-4));
}

TEST_CASE("pictures left out make a rate variable") {
    TempFolder folder;
    ffmpeg(bars("30") + "-vf select='not(between(n\\,20\\,24))' -vsync vfr " + h264 + (folder / "c.mkv"));
    const auto info = must_probe(folder / "c.mkv");
    CHECK(info.variable_rate);
    REQUIRE(info.frames.shown_s.size() == 55);
    // Instants in this container are whole milliseconds.
    for (std::size_t k = 0; k < 55; ++k)
        CHECK(info.frames.shown_s[k] == Approx(static_cast<double>(k < 20 ? k : k + 5) / 30).margin(0.0011));
}

TEST_CASE("start labels are found on tracks, timecode tracks and the whole file") {
    TempFolder folder;
    struct Case {
        std::string name, rate, label;
        std::int64_t at;
        Counting counting;
    };
    // 01:02:03;04 in drop frame: 3723 s of 30 labels and 4, less 2 for each of 62 minutes but 6 tens.
    const Case cases[] = {{"pal.mov", "25", "01:02:03:04", 93079, Counting::non_drop},
                          {"ntsc.mov", "30000/1001", "01:02:03;04", 111582, Counting::drop},
                          {"ntsc.mp4", "30000/1001", "01:02:03:04", 111694, Counting::non_drop},
                          {"ntsc.mkv", "30000/1001", "01:02:03;04", 111582, Counting::drop},
                          {"fast.mov", "120", "01:02:03:104", 446864, Counting::non_drop}};
    for (const auto& c : cases) {
        CAPTURE(c.name);
        ffmpeg(bars(c.rate, 0.5) + h264 + "-timecode '" + c.label + "' " + (folder / c.name));
        const auto info = must_probe(folder / c.name);
        REQUIRE(info.start);
        CHECK(info.start->label == c.label);
        CHECK(info.start->at.n == c.at);
        CHECK(to_string(info.start->rate) == c.rate);
        CHECK(info.start->counting == c.counting);
    }
}

// The ffmpeg program turns pictures for showing on its own: the bright upper half of the stored picture must
// come out where our angle puts it.
TEST_CASE("rotation is how far to turn the picture clockwise") {
    TempFolder folder;
    ffmpeg("-f lavfi -i color=black:s=96x64:r=25:d=0.2 -vf drawbox=w=96:h=32:color=white:t=fill " + h264 +
           (folder / "flat.mp4"));
    std::vector<int> seen;
    for (const int turn : {0, 90, 180, 270}) {
        CAPTURE(turn);
        ffmpeg("-i " + (folder / "flat.mp4") + fmt::format(" -metadata:s:v rotate={} -c copy ", turn) +
               (folder / "turned.mp4"));
        const auto info = must_probe(folder / "turned.mp4");
        CHECK(info.width == 96);
        CHECK(info.height == 64);
        seen.push_back(info.rotation);

        const int width = info.rotation % 180 == 0 ? 96 : 64, height = 160 - width;
        ffmpeg("-i " + (folder / "turned.mp4") + " -frames:v 1 -pix_fmt gray -f rawvideo " +
               (folder / "shown"));
        std::ifstream file(folder / "shown", std::ios::binary);
        const std::string shown((std::istreambuf_iterator<char>(file)), std::istreambuf_iterator<char>());
        REQUIRE(shown.size() == 96 * 64);
        // Brightness of each half of the picture shown, in the order of the angles.
        std::vector<long> halves(4);
        for (int i = 0; i < 96 * 64; ++i) {
            const int x = i % width, y = i / width;
            const long value = static_cast<unsigned char>(shown[static_cast<std::size_t>(i)]);
            halves[y < height / 2 ? 0 : 2] += value;
            halves[x < width / 2 ? 3 : 1] += value;
        }
        CHECK(90 * (std::ranges::max_element(halves) - halves.begin()) == info.rotation);
    }
    std::ranges::sort(seen);
    CHECK(seen == std::vector<int>{0, 90, 180, 270});
}

TEST_CASE("sound starting late or early is seen, and audio-only files begin at zero") {
    TempFolder folder;
    write_clicks(folder / "c.wav", 48000, 2);
    ffmpeg(bars("25") + "-itsoffset 0.2 -i " + (folder / "c.wav") + " " + h264 + "-c:a aac " +
           (folder / "late.mp4"));
    const auto late = must_probe(folder / "late.mp4");
    REQUIRE(late.audio);
    // The muxer keeps the encoder's delay of 1024 samples in front and rounds to its 1 ms.
    CHECK(late.audio->first_s == Approx(0.2 - 1024.0 / 48000).margin(0.001));
    CHECK(late.audio->end_s == Approx(2.2).margin(0.002));

    for (const auto* name : {"c.mp3", "c.ogg", "c.flac", "c.m4a", "c.opus"}) {
        CAPTURE(name);
        ffmpeg("-i " + (folder / "c.wav") + " " + (folder / name));
        const auto info = must_probe(folder / name);
        CHECK_FALSE(info.has_video);
        CHECK_FALSE(info.rate);
        REQUIRE(info.audio);
        CHECK(info.audio->first_s == 0);
        CHECK(info.duration_s == Approx(2).margin(0.001));
        CHECK(info.duration_s == Approx(info.audio->end_s));
    }
}

TEST_CASE("the clock of a probe is the clock of the reader") {
    TempFolder folder;
    write_clicks(folder / "c.wav", 48000, 2);
    for (const auto* name : {"c.mp4", "c.mkv", "c.ts", "c.mov"}) {
        CAPTURE(name);
        ffmpeg(bars("25") + "-i " + (folder / "c.wav") + " " + h264 + "-c:a aac " + (folder / name));
        const auto info = must_probe(folder / name);
        const auto sound = read_sound(folder / name);
        REQUIRE(info.audio);
        CHECK(info.audio->first_s == sound.first_s);
        CHECK(info.audio->rate_hz == sound.rate_hz);
        const auto end_s = sound.first_s + static_cast<double>(sound.frames()) / sound.rate_hz;
        CHECK(std::abs(info.audio->end_s - end_s) < 1024.0 / 48000);
    }
}

TEST_CASE("a content id follows the content, not the name") {
    TempFolder folder;
    write_clicks(folder / "a.wav", 8000, 1);
    write_clicks(folder / "b.wav", 8000, 1);
    write_clicks(folder / "c.wav", 8000, 1, {0.7});
    CHECK(must_probe(folder / "a.wav").id == must_probe(folder / "b.wav").id);
    CHECK(must_probe(folder / "a.wav").id != must_probe(folder / "c.wav").id);
}

TEST_CASE("the libraries are named with their versions") {
    const auto versions = media::library_versions();
    for (const auto* name :
         {"libavformat ", "libavcodec ", "libswresample ", "libswscale ", "libsndfile 1.", "xxHash 0."})
        CHECK(versions.find(name) != std::string::npos);
}
