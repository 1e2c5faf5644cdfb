// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "unit/media/counter_clips.h"

#include "downball/media/movie_writer.h"
#include "downball/media/picture_reader.h"
#include "downball/media/probe.h"

#include <array>
#include <filesystem>
#include <sys/syscall.h>
#include <unistd.h>

using namespace downball;
using namespace downball::test;

namespace {

std::vector<std::string> synced; // names that files had when they were brought to the disk

} // namespace

// Stands in for the C library's own.
extern "C" int fsync(int file) {
    synced.push_back(std::filesystem::read_symlink(fmt::format("/proc/self/fd/{}", file)).string());
    return static_cast<int>(::syscall(SYS_fsync, file));
}

namespace {

media::Picture numbered(int number) {
    media::Picture picture(160, 90);
    for (int y = 0; y < 90; ++y)
        for (int x = 0; x < 160; ++x)
            if (number >> (x / (160 / counter_bits)) & 1)
                picture.bytes[static_cast<std::size_t>(y * 160 + x)] = 235;
    return picture;
}

std::vector<float> clicks(std::size_t samples) {
    std::vector<float> sound(samples);
    for (std::size_t i = 0; i < samples; ++i)
        for (const double at : click_instants)
            sound[i] += static_cast<float>(0.5 * click_at(static_cast<double>(i) / media::movie_hz - at));
    return sound;
}

// `frames` pictures and as much sound, handed over in pieces that fit nothing; of the first pictures all at once.
Result<void> write(const std::string& path, Rate rate, int frames, bool finish = true, int silent = 0) {
    auto writer = media::MovieWriter::create(path, {160, 90, rate});
    if (!writer) return writer.error();
    const auto sound = clicks(static_cast<std::size_t>(frames / rate.per_second() * media::movie_hz + 0.5));
    std::size_t heard = 0;
    for (int k = 0; k < frames; ++k) {
        auto picture = numbered(k);
        if (auto added = writer->add(picture); !added) return added;
        if (k < silent) continue;
        const auto until = sound.size() * static_cast<std::size_t>(k + 1) / static_cast<std::size_t>(frames);
        const std::array channels{sound.data() + heard, sound.data() + heard};
        if (auto added = writer->add(dsp::PlanarBlock{channels, until - heard}); !added) return added;
        heard = until;
    }
    return finish ? writer->finish() : Result<void>();
}

std::string bytes_of(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

} // namespace

TEST_CASE("a movie shows each picture on its frame and plays each sample in its place") {
    TempFolder folder;
    for (const Rate rate : {Rate(24000, 1001), Rate(25), Rate(30000, 1001), Rate(50), Rate(60000, 1001)}) {
        CAPTURE(to_string(rate));
        const auto path = folder / "m.mp4";
        const int frames = static_cast<int>(2.1 * rate.per_second());
        const auto written = write(path, rate, frames);
        INFO((written ? "" : written.error().what));
        REQUIRE(written);
        const auto info = media::probe(path);
        REQUIRE(info);
        CHECK(info->rate == rate);
        CHECK(info->duration_s == Approx(frames / rate.per_second()).margin(1e-6));
        REQUIRE(info->audio);
        CHECK(info->audio->rate_hz == media::movie_hz);
        CHECK(info->audio->channels == 2);
        CHECK(info->audio->first_s == Approx(0).margin(1e-6));
        CHECK(info->audio->end_s == Approx(frames / rate.per_second()).margin(1e-3));
        auto reader = media::PictureReader::open(path, {.width = 160, .height = 90, .rate = rate});
        REQUIRE(reader);
        for (int k = 0; k < frames; ++k) {
            const auto picture = reader->picture_at(Fraction(2 * k + 1, 2) / rate.value());
            REQUIRE(picture);
            CHECK(number_in(**picture) == k);
        }
        const auto found = clicks_of(read_sound(path));
        REQUIRE(found.size() == click_instants.size());
        for (std::size_t i = 0; i < found.size(); ++i)
            CHECK(found[i] == Approx(click_instants[i]).margin(0.0005));
    }
}

TEST_CASE("a movie begins with its index, has a key picture each second, and comes out the same twice") {
    TempFolder folder;
    REQUIRE(write(folder / "a.mp4", Rate(25), 80));
    REQUIRE(write(folder / "b.mp4", Rate(25), 80));
    const auto bytes = bytes_of(folder / "a.mp4");
    CHECK(bytes.find("moov") < bytes.find("mdat"));
    CHECK(bytes == bytes_of(folder / "b.mp4"));
    for (const int silent : {1, 30, 79}) { // the sound comes so many pictures late
        REQUIRE(write(folder / "c.mp4", Rate(25), 80, true, silent));
        CHECK(bytes == bytes_of(folder / "c.mp4"));
    }
    REQUIRE(std::system(("ffprobe -v error -select_streams v -show_entries packet=flags -of csv=p=0 " +
                         (folder / "a.mp4") + " > " + (folder / "flags"))
                            .c_str()) == 0);
    const auto flags = bytes_of(folder / "flags");
    const auto since_key = [&, since = 0]() mutable {
        int most = 0;
        for (std::size_t i = 0; i < flags.size(); ++i)
            if (i == 0 || flags[i - 1] == '\n') {
                since = flags[i] == 'K' ? 0 : since + 1;
                most = std::max(most, since);
            }
        return most;
    }();
    CHECK(since_key < 25);
}

TEST_CASE("a movie is on the disk before it takes its name") {
    TempFolder folder;
    synced.clear();
    REQUIRE(write(folder / "m.mp4", Rate(25), 10));
    REQUIRE(synced.size() == 1);
    CHECK(synced.front().starts_with(folder.path()));
    CHECK(synced.front() != folder / "m.mp4");
}

TEST_CASE("of a movie that was not finished nothing is left, and what stood there stays") {
    TempFolder folder;
    std::ofstream(folder / "m.mp4") << "older";
    REQUIRE(write(folder / "m.mp4", Rate(25), 30, false));
    CHECK(bytes_of(folder / "m.mp4") == "older");
    CHECK(std::distance(std::filesystem::directory_iterator(folder.path()), {}) == 1);
    const auto nowhere = write(folder / "gone/m.mp4", Rate(25), 2);
    REQUIRE_FALSE(nowhere);
    CHECK(nowhere.error().fault == Fault::cannot_write);
    CHECK(nowhere.error().where == folder / "gone/m.mp4");
}
