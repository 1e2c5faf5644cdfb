// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "unit/media/clips.h"

using namespace downball;
using namespace downball::test;

namespace {

// The tolerance of the room: a click lands within 1 ms of where it was put.
void check_clicks(const Sound& sound, const std::vector<double>& put = click_instants) {
    const auto found = clicks_of(sound);
    REQUIRE(found.size() == put.size());
    for (std::size_t i = 0; i < found.size(); ++i)
        CHECK(std::abs(found[i] - put[i]) < 0.001);
}

// Overwrites the bytes of some sound packets; where they lie comes from the ffprobe program.
void damage(const std::string& path, int first, int count) {
    const auto list = path + ".packets";
    REQUIRE(std::system(fmt::format("ffprobe -v error -select_streams a:0 -show_entries packet=pos,size "
                                    "-of csv=p=0 {} > {}",
                                    path, list)
                            .c_str()) == 0);
    std::ifstream packets(list);
    std::fstream file(path, std::ios::in | std::ios::out | std::ios::binary);
    std::string line;
    for (int k = 0; std::getline(packets, line); ++k) {
        long size = 0, at = 0;
        if (std::sscanf(line.c_str(), "%ld,%ld", &size, &at) != 2 || k < first || k >= first + count)
            continue;
        file.seekp(at);
        file << std::string(static_cast<std::size_t>(size), '\xff');
    }
}

} // namespace

TEST_CASE("where the container states the delay, a click lands where it was put") {
    TempFolder folder;
    write_clicks(folder / "48.wav", 48000, 2);
    write_clicks(folder / "44.wav", 44100, 1);
    const auto w48 = "-i " + (folder / "48.wav") + " ", w44 = "-i " + (folder / "44.wav") + " ";
    struct Case {
        std::string name, arguments;
    };
    const Case cases[] = {
        {"b_frames.mp4", bars("25") + w48 + h264 + "-c:a aac"},
        {"ntsc44.mp4", bars("30000/1001") + w44 + h264 + "-c:a aac"},
        {"late.mp4", bars("25") + "-itsoffset 0.2 " + w48 + h264 + "-c:a aac"},
        {"fragmented.mp4", bars("25") + w48 + h264 + "-c:a aac -movflags frag_keyframe+empty_moov"},
        {"pcm.mov", bars("25") + w48 + "-c:v mpeg4 -c:a pcm_s24le"},
        {"pcm.mkv", bars("50") + w48 + h264 + "-c:a pcm_s16le"},
        {"flac.mkv", bars("50") + w44 + h264 + "-c:a flac"},
        {"song.m4a", w44 + "-c:a aac"},
        {"lossless.m4a", w44 + "-c:a alac"},
        {"opus.ogg", w48 + "-c:a libopus"},
        {"opus.mka", w48 + "-c:a libopus"},
        {"opus.webm", w48 + "-c:a libopus"},
        {"tagged.mp3", w44 + "-c:a libmp3lame"},
        {"vorbis.ogg", w44 + "-c:a libvorbis"},
        {"song.flac", w44 + "-c:a flac"},
        {"song.wav", w44 + "-c:a pcm_f32le"},
    };
    for (const auto& c : cases) {
        CAPTURE(c.name);
        const auto path = folder / c.name;
        ffmpeg(c.arguments + " " + path);
        auto put = click_instants;
        if (c.name == "late.mp4")
            for (auto& at : put)
                at += 0.2;
        const auto sound = read_sound(path);
        check_clicks(sound, put);
        CHECK(sound.notes.empty());
    }
}

TEST_CASE("an edit list that begins inside the recording moves zero with the picture") {
    TempFolder folder;
    write_clicks(folder / "c.wav", 48000, 2);
    ffmpeg(bars("25") + "-i " + (folder / "c.wav") + " " + h264 + "-c:a aac " + (folder / "whole.mp4"));
    // The key picture lies at 0.48 s; the edit list hides what comes before 0.5.
    ffmpeg("-ss 0.5 -i " + (folder / "whole.mp4") + " -c copy " + (folder / "cut.mp4"));
    const auto found = clicks_of(read_sound(folder / "cut.mp4"));
    REQUIRE(found.size() == 4);
    for (std::size_t i = 0; i < 4; ++i)
        CHECK(std::abs(found[i] - (click_instants[i] - 0.5)) < 0.001);
}

TEST_CASE("rates from 8 to 192 kHz and one to ten channels come out as they are") {
    TempFolder folder;
    for (const auto& [rate, channels] : std::vector<std::pair<int, int>>{
             {8000, 1}, {22050, 2}, {96000, 2}, {192000, 1}, {48000, 6}, {48000, 10}})
        for (const bool song : {false, true}) {
            CAPTURE(rate, channels, song);
            const auto path = folder / "c.wav";
            write_clicks(path, rate, channels);
            const auto sound = read_sound(path, {.song = song});
            CHECK(sound.rate_hz == rate);
            CHECK(std::cmp_equal(sound.channels.size(), channels));
            CHECK(sound.frames() == static_cast<std::size_t>(clicks_last_s * rate));
            check_clicks(sound);
        }
}

TEST_CASE("every sample format gives the same samples") {
    TempFolder folder;
    write_clicks(folder / "c.wav", 44100, 2);
    const auto wanted = read_sound(folder / "c.wav");
    for (const auto* codec : {"pcm_s24le", "pcm_s32le", "pcm_f32le", "pcm_f64le", "flac", "alac"}) {
        CAPTURE(codec);
        const auto path = folder / "c.mov";
        ffmpeg("-i " + (folder / "c.wav") + " -strict -2 -c:a " + codec +
               (codec == std::string("flac") ? " -f flac " : " -f mov ") + path);
        const auto sound = read_sound(path);
        CHECK(sound.channels == wanted.channels);
    }
}

// Law: the size of the reader's blocks changes nothing.
TEST_CASE("blocks of 1, 7, 511, 4096 and more give one answer") {
    TempFolder folder;
    write_clicks(folder / "c.wav", 48000, 2);
    ffmpeg(bars("25") + "-i " + (folder / "c.wav") + " " + h264 + "-c:a aac " + (folder / "c.mp4"));
    damage(folder / "c.mp4", 20, 2);
    ffmpeg("-i " + (folder / "c.wav") + " -c:a libvorbis " + (folder / "c.ogg"));
    for (const auto* name : {"c.mp4", "c.ogg", "c.wav"})
        for (const bool song : {false, true}) {
            const auto wanted = read_sound(folder / name, {.song = song});
            for (const std::size_t block : {1u, 7u, 511u, 4096u, 1000000u}) {
                CAPTURE(name, song, block);
                const auto sound = read_sound(folder / name, {.song = song, .block_frames = block});
                CHECK(sound.channels == wanted.channels);
                CHECK(sound.notes == wanted.notes);
            }
        }
}

TEST_CASE("a song is read alike by both libraries") {
    TempFolder folder;
    write_clicks(folder / "c.wav", 44100, 2);
    const auto in = "-i " + (folder / "c.wav") + " ";
    for (const auto* how : {"-c:a pcm_u8 s.wav", "-c:a pcm_s16le s.wav", "-c:a pcm_s24le s.wav",
                            "-c:a pcm_s32le s.wav", "-c:a pcm_f32le s.wav", "-c:a pcm_f64le s.wav",
                            "-c:a flac s.flac", "-c:a flac -sample_fmt s32 s.flac"}) {
        CAPTURE(how);
        const std::string text = how;
        const auto space = text.rfind(' ');
        const auto path = folder / text.substr(space + 1);
        ffmpeg(in + text.substr(0, space) + " " + path);
        const auto as_song = read_sound(path, {.song = true}), as_clip = read_sound(path);
        REQUIRE(as_song.rate_hz == as_clip.rate_hz);
        REQUIRE(as_song.channels.size() == as_clip.channels.size());
        REQUIRE(as_song.frames() == as_clip.frames());
        CHECK(as_song.first_s == 0);
        CHECK(as_song.channels == as_clip.channels);
    }
}

TEST_CASE("a song's zero is its first sample, whatever pictures it has") {
    TempFolder folder;
    write_clicks(folder / "c.wav", 44100, 2);
    ffmpeg(bars("25") + "-itsoffset 0.3 -i " + (folder / "c.wav") + " " + h264 + "-c:a aac " +
           (folder / "c.mp4"));
    CHECK(read_sound(folder / "c.mp4").first_s == Approx(0.3 - 1024.0 / 44100).margin(0.001));
    CHECK(read_sound(folder / "c.mp4", {.song = true}).first_s == 0);

    ffmpeg("-f lavfi -i color=red:s=64x64 -frames:v 1 " + (folder / "cover.png"));
    ffmpeg("-i " + (folder / "c.wav") + " -i " + (folder / "cover.png") +
           " -map 0 -map 1 -c:v copy -disposition:v attached_pic -c:a aac " + (folder / "cover.m4a"));
    for (const bool song : {false, true}) {
        const auto sound = read_sound(folder / "cover.m4a", {.song = song});
        CHECK(sound.first_s == 0);
        check_clicks(sound);
    }
}

TEST_CASE("packets that do not decode become silence of their length and a note") {
    TempFolder folder;
    write_clicks(folder / "c.wav", 48000, 2);
    const auto path = folder / "c.mp4";
    const auto make = [&] {
        ffmpeg(bars("25") + "-i " + (folder / "c.wav") + " " + h264 + "-c:a aac " + path);
        return read_sound(path);
    };
    for (const auto& [first, count] : std::vector<std::pair<int, int>>{{0, 1}, {30, 3}, {92, 3}}) {
        const auto whole = make();
        damage(path, first, count);
        CAPTURE(first, count);
        const auto sound = read_sound(path);
        check_clicks(sound);
        CHECK(sound.first_s == whole.first_s);
        CHECK(std::abs(static_cast<double>(sound.frames()) - static_cast<double>(whole.frames())) <= 1024);
        REQUIRE(sound.notes.size() == 1);
        CHECK(sound.notes.front().find(count == 1 ? "1 sound packet could" : "3 sound packets could") !=
              std::string::npos);
    }
    const auto whole = make();
    damage(path, 30, 3);
    const auto sound = read_sound(path);
    // Packet k holds samples 1024 (k - 1) on: the first is the encoder's delay. A packet's neighbours overlap
    // with it, so that the middle one of three is silent for sure.
    for (std::size_t i = 30 * 1024; i < 31 * 1024; ++i)
        REQUIRE(sound.channels[0][i] == 0.0f);
    for (std::size_t i = 40 * 1024; i < 60 * 1024; ++i)
        REQUIRE(sound.channels[0][i] == whole.channels[0][i]);
}

TEST_CASE("a change of rate and channels on the way is converted, placed and noted") {
    TempFolder folder;
    write_clicks(folder / "c.wav", 44100, 2);
    const auto in = "-i " + (folder / "c.wav") + " ";
    ffmpeg(in + "-c:a aac -ac 2 -ar 44100 " + (folder / "1.aac"));
    ffmpeg(in + "-c:a aac -ac 1 -ar 48000 " + (folder / "2.aac"));
    const auto first = read_sound(folder / "1.aac"), second = read_sound(folder / "2.aac");
    REQUIRE(std::system(fmt::format("cat {0}/1.aac {0}/2.aac > {0}/12.aac", folder.path()).c_str()) == 0);
    const auto both = read_sound(folder / "12.aac");
    CHECK(both.rate_hz == 44100);
    CHECK(both.channels.size() == 2);
    REQUIRE(both.notes.size() == 1);
    CHECK(both.notes.front().find("48000 Hz, 1 channels") != std::string::npos);
    const auto length_s = static_cast<double>(first.frames()) / 44100;
    auto wanted = clicks_of(first);
    for (const auto at : clicks_of(second))
        wanted.push_back(length_s + at);
    check_clicks(both, wanted);
}

TEST_CASE("a gap in the sound is as long as the container says") {
    TempFolder folder;
    write_clicks(folder / "c.wav", 48000, 1);
    // The packets from 1 s on are shown half a second later, as after a pause of the recorder.
    ffmpeg("-i " + (folder / "c.wav") + " -c:a aac -bsf:a setts=ts='if(gte(TS*TB\\,1)\\,TS+0.5/TB\\,TS)' " +
           (folder / "gap.m4a"));
    auto put = click_instants;
    put[2] += 0.5;
    put[3] += 0.5;
    const auto sound = read_sound(folder / "gap.m4a");
    check_clicks(sound, put);
    REQUIRE(sound.notes.size() == 1);
    double from_s = 0, to_s = 0;
    REQUIRE(std::sscanf(sound.notes.front().c_str(), "%lf s to %lf s: the file holds no sound here", &from_s,
                        &to_s) == 2);
    CHECK(from_s == Approx(1).margin(1024.0 / 48000)); // a packet
    CHECK(to_s - from_s == Approx(0.5).margin(0.001));
}

// The demuxer passes over all of a Matroska cluster whose structure is broken, without a word.
TEST_CASE("sound that goes missing without an error is noted, and what follows stays in its place") {
    TempFolder folder;
    write_clicks(folder / "c.wav", 48000, 2);
    const auto path = folder / "c.mkv";
    ffmpeg(bars("25") + "-i " + (folder / "c.wav") + " " + h264 + "-c:a aac -cluster_time_limit 500 " + path);
    damage(path, 38, 6); // from 0.8 s; the clicks at 0.8125 and, in the same cluster or not, 1.25
    const auto sound = read_sound(path);
    const auto found = clicks_of(sound);
    REQUIRE(found.size() >= 2);
    CHECK(std::abs(found.front() - click_instants.front()) < 0.001);
    CHECK(std::abs(found.back() - click_instants.back()) < 0.001);
    REQUIRE_FALSE(sound.notes.empty());
    CHECK(sound.notes.back().find("the file holds no sound here, silence instead") != std::string::npos);
}

TEST_CASE("bare packets without times say that sound behind damage may lie early") {
    TempFolder folder;
    write_clicks(folder / "c.wav", 48000, 2);
    const auto path = folder / "c.aac";
    ffmpeg("-i " + (folder / "c.wav") + " -c:a aac " + path);
    CHECK(read_sound(path).notes.empty());
    std::string bytes;
    {
        std::ifstream file(path, std::ios::binary);
        bytes.assign(std::istreambuf_iterator<char>(file), {});
    }
    // Whole packets: the demuxer looks for the next one and says nothing. 0xFFF begins each (ISO/IEC 13818-7).
    const auto packet_at = [&](std::size_t from) { return bytes.find("\xff\xf1", from); };
    const auto first = packet_at(bytes.size() / 2), last = packet_at(first + 1500);
    REQUIRE(last != std::string::npos);
    std::fill(bytes.begin() + static_cast<long>(first), bytes.begin() + static_cast<long>(last), '\0');
    std::ofstream(path, std::ios::binary) << bytes;
    const auto sound = read_sound(path);
    REQUIRE_FALSE(sound.notes.empty());
    CHECK(sound.notes.back().find("may lie early") != std::string::npos);
    CHECK(sound.frames() < static_cast<std::size_t>(clicks_last_s * 48000));
}
