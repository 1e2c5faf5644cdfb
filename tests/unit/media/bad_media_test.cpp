// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "unit/media/clips.h"

#include "downball/media/probe.h"

#include <random>
#include <unistd.h>

using namespace downball;
using namespace downball::test;

namespace {

// Both entries of the room must refuse the file, name it, and say what was found.
void check_refused(const std::string& path, const std::string& words) {
    CAPTURE(path);
    const auto check = [&](const Error& error) {
        CHECK(error.fault == Fault::bad_input);
        CHECK(error.where == path);
        INFO(error.what);
        CHECK(error.what.find(words) != std::string::npos);
    };
    const auto info = media::probe(path);
    REQUIRE_FALSE(info);
    check(info.error());
    for (const bool song : {false, true}) {
        const auto reader = media::AudioReader::open(path, {.song = song});
        REQUIRE_FALSE(reader);
        check(reader.error());
    }
}

void write_text(const std::string& path, const std::string& text) {
    std::ofstream(path, std::ios::binary) << text;
}

} // namespace

TEST_CASE("what is no recording is refused by name") {
    TempFolder folder;
    check_refused(folder / "gone.mp4", "no such file");
    check_refused(folder.path(), "found a folder, expected a media file; name a file in it");
    write_text(folder / "empty.mp4", "");
    check_refused(folder / "empty.mp4", "empty");
    write_text(folder / "text.mp4", "This is a shopping list, not a clip.\n");
    check_refused(folder / "text.mp4", "holds text, no video or sound");
    write_text(folder / "text.wav", "This is a shopping list, not a song.\n");
    check_refused(folder / "text.wav", "leave it out");
    write_text(folder / "list.m3u8", "#EXTM3U\n#EXTINF:1,\nother.ts\n");
    check_refused(folder / "list.m3u8", "leave it out");
    write_text(folder / "notes.txt", "Court 2, second set.\n");
    check_refused(folder / "notes.txt", "leave it out");
    ffmpeg("-f lavfi -i color=red:s=64x64 -frames:v 1 " + (folder / "still.png"));
    check_refused(folder / "still.png", "expected a recording");
    check_refused("/dev/null", "found a device");
    if (geteuid() != 0) {
        write_clicks(folder / "locked.wav", 8000, 1);
        std::filesystem::permissions(folder / "locked.wav", std::filesystem::perms::none);
        check_refused(folder / "locked.wav", "permissions");
    }
}

TEST_CASE("a name with a colon is a file, not an address") {
    TempFolder folder;
    const auto path = folder / "http:clip.wav";
    write_clicks(path, 8000, 1);
    CHECK(media::probe(path));
    const auto here = std::filesystem::current_path();
    std::filesystem::current_path(folder.path());
    CHECK(media::probe("http:clip.wav"));
    CHECK(media::AudioReader::open("http:clip.wav"));
    std::filesystem::current_path(here);
}

TEST_CASE("a clip without sound is a clip, but has none to read") {
    TempFolder folder;
    ffmpeg(bars("25", 0.2) + h264 + (folder / "silent.mp4"));
    const auto info = media::probe(folder / "silent.mp4");
    REQUIRE(info);
    CHECK_FALSE(info->audio);
    for (const bool song : {false, true}) {
        const auto reader = media::AudioReader::open(folder / "silent.mp4", {.song = song});
        REQUIRE_FALSE(reader);
        CHECK(reader.error().fault == Fault::bad_input);
        CHECK(reader.error().what.find("has no sound") != std::string::npos);
    }
}

TEST_CASE("sound of no length is refused") {
    TempFolder folder;
    ffmpeg("-f lavfi -i anullsrc=r=48000 -t 0 -c:a pcm_s16le " + (folder / "none.wav"));
    for (const bool song : {false, true}) {
        const auto reader = media::AudioReader::open(folder / "none.wav", {.song = song});
        REQUIRE_FALSE(reader);
        CHECK(reader.error().fault == Fault::bad_input);
        CHECK(reader.error().where == folder / "none.wav");
    }
    CHECK_FALSE(media::probe(folder / "none.wav"));
}

namespace {

std::string bytes_of(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

// One small file of each kind.
std::vector<std::string> make_kinds(const TempFolder& folder) {
    write_clicks(folder / "c.wav", 44100, 2);
    const auto in = "-i " + (folder / "c.wav") + " ";
    const auto clip = bars("25", 1) + in + "-t 1 " + h264;
    ffmpeg(clip + "-c:a aac " + (folder / "late_index.mp4"));
    ffmpeg(clip + "-c:a aac -movflags faststart " + (folder / "c.mp4"));
    ffmpeg(clip + "-c:a aac " + (folder / "c.ts"));
    ffmpeg(clip + "-c:a libopus -ar 48000 " + (folder / "c.mkv"));
    std::vector<std::string> names{"late_index.mp4", "c.mp4", "c.ts", "c.mkv", "c.wav"};
    for (const auto* name : {"c.mp3", "c.ogg", "c.flac", "c.aac", "c.opus"}) {
        ffmpeg(in + (folder / name));
        names.emplace_back(name);
    }
    return names;
}

// Reads whatever can be read; the answer is a value or an error that names the file. Samples that came out.
std::size_t read_anything(const std::string& path) {
    if (const auto info = media::probe(path); !info) CHECK(info.error().where == path);
    std::size_t most = 0;
    for (const bool song : {false, true}) {
        auto reader = media::AudioReader::open(path, {.song = song});
        if (!reader) {
            CHECK(reader.error().where == path);
            continue;
        }
        std::size_t frames = 0;
        for (auto block = reader->read(); block && block->frames > 0; block = reader->read())
            frames += block->frames;
        most = std::max(most, frames);
    }
    return most;
}

} // namespace

// Law: whatever is left of a file never crashes the reader, and is no longer than the whole.
TEST_CASE("files cut off anywhere never crash") {
    TempFolder folder;
    for (const auto& name : make_kinds(folder)) {
        const auto whole = bytes_of(folder / name);
        const auto all = read_sound(folder / name).frames();
        const auto path = folder / ("cut_" + name);
        for (const double share : {0.0005, 0.003, 0.01, 0.05, 0.2, 0.5, 0.77, 0.99}) {
            CAPTURE(name, share);
            write_text(path,
                       whole.substr(0, static_cast<std::size_t>(share * static_cast<double>(whole.size()))));
            CHECK(read_anything(path) <= all + 4096);
        }
    }
}

// A changed clock may add silence, never more than an hour's for each place where it was changed.
TEST_CASE("files with changed bytes never crash") {
    TempFolder folder;
    std::mt19937 dice(20240601);
    for (const auto& name : make_kinds(folder)) {
        const auto whole = bytes_of(folder / name);
        const auto path = folder / ("changed_" + name);
        for (int round = 0; round < 12; ++round) {
            CAPTURE(name, round);
            auto changed = whole;
            // Half the rounds aim at the head, where the structure is.
            const auto reach = round % 2 ? std::min<std::size_t>(2000, whole.size()) : whole.size();
            for (int i = 0; i < 8; ++i)
                changed[dice() % reach] = static_cast<char>(dice() & 0xff);
            write_text(path, changed);
            CHECK(read_anything(path) < std::size_t{8} * 3600 * 192000);
        }
    }
}
