// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

// Small media made at run time by the ffmpeg program, with clicks put at known instants.
#include "support/catch.h"
#include "support/temp_folder.h"

#include "downball/media/audio_reader.h"
#include "downball/media/probe.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <fmt/format.h>
#include <fstream>
#include <numbers>
#include <string>
#include <vector>

namespace downball::test {

inline const std::vector<double> click_instants{0.5, 0.8125, 1.25, 1.6};
inline constexpr double clicks_last_s = 2.0;

// A click: 2 kHz in a bell of 0.5 ms, symmetrical, so that its centre survives a lossy codec.
inline double click_at(double off_s) {
    constexpr double width_s = 0.0005;
    return 0.8 * std::exp(-off_s * off_s / (2 * width_s * width_s)) *
           std::cos(2 * std::numbers::pi * 2000 * off_s);
}

// 16-bit WAV with the clicks in every channel.
inline void write_clicks(const std::string& path, int rate_hz, int channels,
                         const std::vector<double>& instants = click_instants) {
    const auto frames = static_cast<std::uint32_t>(clicks_last_s * rate_hz);
    std::string bytes;
    const auto put = [&](std::uint32_t value, int count) {
        for (int i = 0; i < count; ++i)
            bytes.push_back(static_cast<char>(value >> (8 * i) & 0xff));
    };
    const auto block = static_cast<std::uint32_t>(channels * 2);
    bytes += "RIFF";
    put(36 + frames * block, 4);
    bytes += "WAVEfmt ";
    put(16, 4);
    put(1, 2);
    put(static_cast<std::uint32_t>(channels), 2);
    put(static_cast<std::uint32_t>(rate_hz), 4);
    put(static_cast<std::uint32_t>(rate_hz) * block, 4);
    put(block, 2);
    put(16, 2);
    bytes += "data";
    put(frames * block, 4);
    for (std::uint32_t i = 0; i < frames; ++i) {
        double sum = 0;
        for (const auto at : instants)
            sum += click_at(static_cast<double>(i) / rate_hz - at);
        const auto sample = static_cast<std::uint32_t>(std::lround(sum * 32767));
        for (int c = 0; c < channels; ++c)
            put(sample, 2);
    }
    std::ofstream(path, std::ios::binary) << bytes;
}

// Runs the ffmpeg program; the command stands in the message if it fails.
inline void ffmpeg(const std::string& arguments) {
    const auto command = "ffmpeg -nostdin -v error -y " + arguments;
    INFO(command);
    REQUIRE(std::system(command.c_str()) == 0);
}

// Moving bars, `seconds` long, as an input of the ffmpeg program.
inline std::string bars(const std::string& rate, double seconds = 2) {
    return fmt::format("-f lavfi -i testsrc2=s=160x90:r={}:d={} ", rate, seconds);
}
// Of the bytes of a file's pictures [from, to), counted as they lie in it, nothing is left.
inline void blot_pictures(const std::string& path, int from, int to) {
    const TempFolder folder;
    REQUIRE(std::system(("ffprobe -v error -select_streams v -show_entries packet=pos,size -of csv=p=0 " +
                         path + " > " + (folder / "places"))
                            .c_str()) == 0);
    std::ifstream places(folder / "places");
    std::fstream file(path, std::ios::binary | std::ios::in | std::ios::out);
    for (int k = 0; k < to; ++k) {
        long long size = 0, at = 0;
        char comma = 0;
        REQUIRE(places >> size >> comma >> at);
        places.ignore(100, '\n');
        file.seekp(at);
        if (k >= from) file << std::string(static_cast<std::size_t>(size), '\xff');
    }
}
inline const std::string h264 = "-c:v libx264 -preset ultrafast -bf 2 -g 12 ";

struct Sound {
    int rate_hz = 0;
    double first_s = 0;
    std::vector<std::vector<float>> channels;
    std::vector<std::string> notes;

    std::size_t frames() const { return channels.front().size(); }
};

inline Sound read_sound(const std::string& path, const media::AudioOptions& options = {}) {
    auto reader = media::AudioReader::open(path, options);
    INFO((reader ? std::string() : to_string(reader.error())));
    REQUIRE(reader);
    Sound sound{reader->rate_hz(), reader->first_s(), {}, {}};
    sound.channels.resize(static_cast<std::size_t>(reader->channels()));
    for (;;) {
        const auto block = reader->read();
        REQUIRE(block);
        if (block->frames == 0) break;
        REQUIRE(block->channels.size() == sound.channels.size());
        for (std::size_t c = 0; c < sound.channels.size(); ++c)
            sound.channels[c].insert(sound.channels[c].end(), block->channels[c],
                                     block->channels[c] + block->frames);
    }
    sound.notes = reader->notes();
    return sound;
}

// Centres of the clicks, seconds from the first sample: around each peak above 0.25 the centre of energy.
inline std::vector<double> find_clicks(const std::vector<float>& samples, int rate_hz) {
    std::vector<double> found;
    const auto reach = static_cast<std::size_t>(0.003 * rate_hz);
    for (std::size_t i = 0; i < samples.size(); ++i) {
        if (std::abs(samples[i]) < 0.25f) continue;
        const auto peak_of = [&](std::size_t from, std::size_t to) {
            const auto louder = [](float a, float b) { return std::abs(a) < std::abs(b); };
            return static_cast<std::size_t>(std::max_element(samples.begin() + static_cast<long>(from),
                                                             samples.begin() + static_cast<long>(to),
                                                             louder) -
                                            samples.begin());
        };
        const auto peak = peak_of(i, std::min(samples.size(), i + reach));
        double energy = 0, moment = 0;
        for (auto k = peak - std::min(peak, reach); k < std::min(samples.size(), peak + reach + 1); ++k) {
            const double e = static_cast<double>(samples[k]) * samples[k];
            energy += e;
            moment += e * static_cast<double>(k);
        }
        found.push_back(moment / energy / rate_hz);
        i = peak + 10 * reach;
    }
    return found;
}

// Media seconds of the clicks in the first channel.
inline std::vector<double> clicks_of(const Sound& sound) {
    auto found = find_clicks(sound.channels.front(), sound.rate_hz);
    for (auto& at : found)
        at += sound.first_s;
    return found;
}

inline MediaInfo must_probe(const std::string& path) {
    auto info = media::probe(path);
    INFO((info ? std::string() : to_string(info.error())));
    REQUIRE(info);
    return *info;
}

} // namespace downball::test
