// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/wav_bytes.h"
#include "unit/media/clips.h"

#include "downball/dsp/rational_resampler.h"
#include "downball/media/cut_song_file.h"
#include "downball/media/probe.h"

using namespace downball;
using namespace downball::media;
using namespace downball::test;

namespace {

constexpr double full = 8388608;

// A 24-bit song from a function of (sample, channel).
template <class Sample>
std::string song(const TempFolder& folder, int rate_hz, int channels, std::size_t frames, Sample sample) {
    std::vector<std::int32_t> samples;
    for (std::size_t i = 0; i < frames; ++i)
        for (int c = 0; c < channels; ++c)
            samples.push_back(static_cast<std::int32_t>(std::lround(sample(i, c) * full)));
    const auto path = folder / "song.wav";
    std::ofstream(path, std::ios::binary) << *wav_bytes(samples, channels, rate_hz);
    return path;
}

// Samples that tell their own place: no two places within minutes look alike.
double noise(std::size_t i, int c) {
    const auto x = (i + 1) * 2654435761u ^ static_cast<std::size_t>(c) * 40503u;
    return (static_cast<double>(x >> 7 & 0xffff) / 65536 - 0.5) * 0.8;
}

struct Written {
    CutSongFile file;
    Sound sound;
};

Written cut_of(const TempFolder& folder, const std::string& path, const SongCut& cut, std::int64_t samples) {
    const auto info = probe(path);
    REQUIRE(info);
    auto file = cut_song_file(*info, cut, samples);
    INFO((file ? std::string() : to_string(file.error())));
    REQUIRE(file);
    const auto written = folder / "cut.wav";
    std::ofstream(written, std::ios::binary) << file->bytes;
    auto sound = read_sound(written, {.song = true});
    CHECK(sound.rate_hz == 48000);
    CHECK(sound.frames() == static_cast<std::size_t>(samples));
    CHECK(probe(written)->id == file->id);
    return {std::move(*file), std::move(sound)};
}

SongCut plain(std::vector<SongPiece> pieces) {
    SongCut cut;
    cut.pieces = std::move(pieces);
    return cut;
}

double of(std::size_t sample) {
    return static_cast<double>(sample) / 48000;
}

} // namespace

TEST_CASE("pieces are the song's own samples, bit by bit, and silence follows") {
    TempFolder folder;
    const auto path = song(folder, 48000, 2, 96000, noise);
    const auto cut = plain({{of(10001), of(30000)}, {of(50003), of(60000)}}); // no crossfade: a hard join
    const auto [file, sound] = cut_of(folder, path, cut, 40000);
    CHECK(file.channels == 2);
    CHECK(file.gain_db == 0);
    const auto whole = read_sound(path, {.song = true});
    std::size_t different = 0;
    for (std::size_t c = 0; c < 2; ++c)
        for (std::size_t i = 0; i < 40000; ++i) {
            const float wanted = i < 19999          ? whole.channels[c][10001 + i]
                                 : i < 19999 + 9997 ? whole.channels[c][50003 + i - 19999]
                                                    : 0.0f;
            different += sound.channels[c][i] != wanted;
        }
    CHECK(different == 0);
}

TEST_CASE("the file is a WAV of 24 bits at 48 kHz, and the same every time") {
    TempFolder folder;
    const auto path = song(folder, 44100, 1, 44100, noise);
    SongCut cut = plain({{0.1, 0.5}, {0.6, 0.9}});
    cut.crossfade_s = 0.02;
    cut.fade_out_s = 0.1;
    const auto info = probe(path);
    const auto a = cut_song_file(*info, cut, 33600), b = cut_song_file(*info, cut, 33600);
    REQUIRE((a && b));
    CHECK(a->bytes == b->bytes);
    CHECK(a->bytes.size() == 44 + 33600 * 3); // RIFF head of one fmt and one data chunk
    CHECK(a->bytes.substr(0, 4) == "RIFF");
    const auto number = [&](std::size_t at, int bytes) {
        std::uint32_t value = 0;
        for (int i = 0; i < bytes; ++i)
            value |= static_cast<std::uint32_t>(
                         static_cast<unsigned char>(a->bytes[at + static_cast<std::size_t>(i)]))
                     << (8 * i);
        return value;
    };
    CHECK(number(22, 2) == 1);
    CHECK(number(24, 4) == 48000);
    CHECK(number(34, 2) == 24);
    CHECK(number(40, 4) == 33600 * 3);
}

TEST_CASE("a piece of a song at another rate is that stretch of the song resampled as a whole") {
    TempFolder folder;
    const auto path = song(folder, 44100, 2, 88200, noise);
    const auto [file, sound] = cut_of(folder, path, plain({{0.5, 1.5}}), 48000);
    const auto whole = read_sound(path, {.song = true});
    for (std::size_t c = 0; c < 2; ++c) {
        dsp::RationalResampler rate(44100, 48000);
        std::vector<float> wanted;
        rate.push(whole.channels[c], wanted);
        rate.finish(wanted);
        double worst = 0;
        for (std::size_t i = 0; i < 48000; ++i)
            worst = std::max(worst, std::abs(static_cast<double>(sound.channels[c][i]) -
                                             static_cast<double>(wanted[24000 + i])));
        CHECK(worst <= 0.5 / full + 1e-12); // rounding to 24 bit
    }
}

TEST_CASE("a jump of whole periods in a steady sine leaves no trace") {
    // 440 Hz over 0.4 s is 176 periods. The sine without a jump is the truth.
    TempFolder folder;
    for (const int rate_hz : {44100, 48000}) {
        const auto tone = [&](std::size_t i, int) {
            return 0.5 * std::sin(2 * std::numbers::pi * 440 * static_cast<double>(i) / rate_hz);
        };
        const auto path = song(folder, rate_hz, 1, static_cast<std::size_t>(2 * rate_hz), tone);
        SongCut cut = plain({{0.25, 0.75}, {1.15, 1.65}});
        cut.crossfade_s = 0.02;
        const auto [file, sound] = cut_of(folder, path, cut, 48000);
        double worst = 0;
        for (std::size_t i = 0; i < 48000; ++i)
            worst = std::max(worst, std::abs(static_cast<double>(sound.channels[0][i]) -
                                             0.5 * std::sin(2 * std::numbers::pi * 440 * (of(i) + 0.25))));
        CHECK(20 * std::log10(worst / 0.5) < -80);
    }
}

TEST_CASE("a crossfade keeps the level of what is alike and of what is not") {
    TempFolder folder;
    const auto level = [](const Sound& sound, std::size_t from, std::size_t to) {
        double sum = 0;
        for (std::size_t i = from; i < to; ++i)
            sum += static_cast<double>(sound.channels[0][i]) * static_cast<double>(sound.channels[0][i]);
        return std::sqrt(sum / static_cast<double>(to - from));
    };
    SongCut cut = plain({{of(20000), of(40000)}, {of(60000), of(80000)}});
    cut.crossfade_s = 0.2;
    // Strangers: a fade that adds up to 1 would dip by 3 dB in the middle.
    const auto strange = cut_of(folder, song(folder, 48000, 1, 96000, noise), cut, 40000).sound;
    CHECK(level(strange, 19000, 21000) == Approx(level(strange, 2000, 12000)).epsilon(0.06));
    // The same on both sides: a fade of equal power would swell by 3 dB.
    const auto loop = [](std::size_t i, int) { return noise(i % 4000, 0); };
    const auto alike = cut_of(folder, song(folder, 48000, 1, 96000, loop), cut, 40000).sound;
    const auto whole = read_sound(folder / "song.wav", {.song = true});
    double worst = 0;
    for (std::size_t i = 0; i < 40000; ++i)
        worst = std::max(worst, std::abs(static_cast<double>(alike.channels[0][i]) -
                                         static_cast<double>(whole.channels[0][20000 + i])));
    CHECK(worst <= 1.01 / full);
}

TEST_CASE("a fade out ends in silence at the piece's end, and begins level") {
    TempFolder folder;
    const auto path = song(folder, 48000, 1, 96000, [](std::size_t, int) { return 0.5; });
    SongCut cut = plain({{0.5, 1.5}});
    cut.fade_in_s = 0.005;
    cut.fade_out_s = 0.4;
    const auto [file, sound] = cut_of(folder, path, cut, 60000);
    const auto& x = sound.channels[0];
    CHECK(x[0] == 0);
    CHECK(x[240] == 0.5f);
    CHECK(x[48000 - 19200 - 1] == 0.5f);
    CHECK(x[48000 - 19200 + 960] > 0.49f); // 20 ms into the fade
    CHECK(x[48000 - 9600] == Approx(0.25f).epsilon(0.01));
    CHECK(std::abs(x[47999]) < 1e-4f);
    CHECK(std::all_of(x.begin() + 48000, x.end(), [](float s) { return s == 0; }));
    CHECK(std::is_sorted(x.begin() + 28800, x.begin() + 48000, std::greater<>()));
}

TEST_CASE("peaks that resampling makes are turned down, not clipped") {
    // A square wave at full scale overshoots when its band is limited (Gibbs), by 9 % of the step.
    TempFolder folder;
    const auto square = [](std::size_t i, int) { return i / 100 % 2 == 0 ? 0.999 : -0.999; };
    const auto path = song(folder, 44100, 1, 88200, square);
    const auto [file, sound] = cut_of(folder, path, plain({{0.2, 1.8}}), 76800);
    CHECK(file.gain_db < -0.5);
    CHECK(file.gain_db > -3);
    float high = 0;
    std::size_t at_top = 0;
    for (const float x : sound.channels[0])
        high = std::max(high, std::abs(x));
    for (const float x : sound.channels[0])
        at_top += std::abs(x) > 0.99999f;
    CHECK(high > 0.999f);
    CHECK(at_top < 2000); // crests, no flat tops: a clipped square would have 20 samples a half-wave there
}

TEST_CASE("a song with pictures is counted from the first of them") {
    // The sound begins 0.5 s after the pictures: media second 1.0 is half a second into it.
    TempFolder folder;
    write_clicks(folder / "clicks.wav", 48000, 1);
    ffmpeg(bars("25", 3) + "-itsoffset 0.5 -i " + (folder / "clicks.wav") + " -map 0:v -map 1:a " + h264 +
           "-c:a pcm_s16le " + (folder / "late.mov"));
    const auto [file, sound] = cut_of(folder, folder / "late.mov", plain({{0.75, 2.25}}), 72000);
    const auto found = find_clicks(sound.channels[0], 48000);
    REQUIRE(found.size() == click_instants.size());
    for (std::size_t i = 0; i < found.size(); ++i)
        CHECK(std::abs(found[i] - (click_instants[i] + 0.5 - 0.75)) < 1e-4);
}

TEST_CASE("a song of more than two channels is refused with advice") {
    TempFolder folder;
    const auto path = song(folder, 48000, 6, 4800, noise);
    const auto file = cut_song_file(*probe(path), plain({{0, 0.1}}), 4800);
    REQUIRE_FALSE(file);
    CHECK(file.error().fault == Fault::bad_input);
    CHECK(file.error().what.find("6 channels") != std::string::npos);
    CHECK(file.error().what.find("--song original") != std::string::npos);
    CHECK(file.error().where == path);
}

TEST_CASE("a stop that was asked for ends the work") {
    TempFolder folder;
    const auto path = song(folder, 48000, 1, 96000, noise);
    std::stop_source stop;
    stop.request_stop();
    const auto file = cut_song_file(*probe(path), plain({{0, 1}}), 48000, {{}, stop.get_token()});
    REQUIRE_FALSE(file);
    CHECK(file.error().fault == Fault::interrupted);
}
