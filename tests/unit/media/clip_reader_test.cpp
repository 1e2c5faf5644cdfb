// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "unit/media/clips.h"

#include "downball/media/clip_reader.h"

#include <filesystem>
#include <fstream>
#include <limits>

using namespace downball;
using namespace downball::test;
using media::ClipReader;

namespace {

ClipReader must_open(const std::string& path) {
    auto clip = ClipReader::open(path);
    INFO((clip ? std::string() : to_string(clip.error())));
    REQUIRE(clip);
    return std::move(*clip);
}

Sound take(media::AudioReader& reader, std::size_t most_blocks = std::numeric_limits<std::size_t>::max()) {
    Sound sound{reader.rate_hz(), reader.first_s(), {}, {}};
    sound.channels.resize(static_cast<std::size_t>(reader.channels()));
    for (std::size_t blocks = 0; blocks < most_blocks; ++blocks) {
        const auto block = reader.read();
        REQUIRE(block);
        if (block->frames == 0) break;
        for (std::size_t c = 0; c < sound.channels.size(); ++c)
            sound.channels[c].insert(sound.channels[c].end(), block->channels[c],
                                     block->channels[c] + block->frames);
    }
    sound.notes = reader.notes();
    return sound;
}

void check_same(const MediaInfo& a, const MediaInfo& b) {
    CHECK(a.id == b.id);
    CHECK(a.bytes == b.bytes);
    CHECK(a.duration_s == b.duration_s);
    CHECK(a.has_video == b.has_video);
    CHECK(a.rate == b.rate);
    CHECK(a.average_fps == b.average_fps);
    CHECK(a.frames.shown_s == b.frames.shown_s);
    REQUIRE(a.audio.has_value() == b.audio.has_value());
    if (!a.audio) return;
    CHECK(a.audio->rate_hz == b.audio->rate_hz);
    CHECK(a.audio->channels == b.audio->channels);
    CHECK(a.audio->first_s == b.audio->first_s);
    CHECK(a.audio->end_s == b.audio->end_s);
}

// Linux counts what a process reads.
std::int64_t bytes_read() {
    std::ifstream file("/proc/self/io");
    std::string key;
    std::int64_t bytes = 0;
    while (file >> key >> bytes)
        if (key == "rchar:") return bytes;
    return -1;
}

} // namespace

TEST_CASE(
    "what a clip tells does not depend on how much of its sound was taken, nor the sound on who reads it") {
    TempFolder folder;
    write_clicks(folder / "c.wav", 48000, 2);
    const auto in = bars("25") + "-itsoffset 0.2 -i " + (folder / "c.wav") + " ";
    for (const auto* how :
         {"-c:a aac c.mp4", "-c:a pcm_s24le c.mov", "-c:a aac -movflags frag_keyframe+empty_moov frag.mp4",
          "-c:a ac3 c.mts", "-c:a aac c.ts", "-c:a libopus c.mkv", "-vn -c:a libmp3lame c.mp3",
          "-vn -c:a pcm_s16le alone.wav", "-vn -c:a libvorbis c.ogg"}) {
        CAPTURE(how);
        const std::string text = how;
        const auto space = text.rfind(' ');
        const auto path = folder / text.substr(space + 1);
        ffmpeg(in + h264 + text.substr(0, space) + " " + path);
        const auto told = must_probe(path);
        const auto wanted = read_sound(path);
        for (const std::size_t blocks : {std::size_t{0}, std::size_t{3}, std::size_t{100000}}) {
            auto clip = must_open(path);
            REQUIRE(clip.sound());
            const auto sound = take(*clip.sound(), blocks);
            if (blocks == 100000) CHECK(sound.channels == wanted.channels);
            if (blocks == 100000) CHECK(sound.notes == wanted.notes);
            CHECK(sound.first_s == wanted.first_s);
            const auto info = clip.finish();
            REQUIRE(info);
            check_same(*info, told);
        }
    }
}

TEST_CASE("a file without an index is read but once for its facts and its sound") {
    TempFolder folder;
    const auto path = folder / "c.mts";
    ffmpeg("-f lavfi -i testsrc2=s=640x360:r=50:d=20 -f lavfi -i anoisesrc=d=20:r=48000 -c:v libx264 "
           "-preset ultrafast -b:v 8M -c:a ac3 " +
           path);
    const auto size = static_cast<std::int64_t>(std::filesystem::file_size(path));
    REQUIRE(size > 10'000'000);
    const auto before = bytes_read();
    auto opened = ClipReader::open(path, {.id = false});
    REQUIRE(opened);
    REQUIRE(opened->sound());
    CHECK(take(*opened->sound()).frames() > 900'000);
    REQUIRE(opened->finish());
    const auto read = bytes_read() - before;
    CHECK(read >= size);
    CHECK(read < size + size / 4); // looking at the streams reads its beginning twice
}

TEST_CASE("long sound beside one single picture is not kept in memory, and comes out whole") {
    TempFolder folder;
    for (const auto* name : {"one.mov", "one.mkv"}) {
        CAPTURE(name);
        const auto path = folder / name;
        ffmpeg("-f lavfi -i color=red:s=64x64:r=1:d=1 -f lavfi -i anoisesrc=d=15:r=48000 -c:v libx264 -ac 8 "
               "-c:a "
               "pcm_s32le " +
               path); // 23 MB of sound
        auto clip = must_open(path);
        REQUIRE(clip.sound());
        const auto sound = take(*clip.sound());
        CHECK(sound.frames() == 15 * 48000);
        CHECK(sound.channels == read_sound(path).channels);
        const auto info = clip.finish();
        REQUIRE(info);
        check_same(*info, must_probe(path));
    }
}

TEST_CASE("a clip without sound has none to take") {
    TempFolder folder;
    ffmpeg(bars("25") + h264 + (folder / "c.mp4"));
    auto clip = must_open(folder / "c.mp4");
    CHECK(!clip.sound());
    const auto info = clip.finish();
    REQUIRE(info);
    CHECK(!info->audio);
    CHECK(info->duration_s == Approx(2));
}
