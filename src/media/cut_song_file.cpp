// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/media/cut_song_file.h"

#include "downball/media/content_id.h"
#include "media/wav_bytes.h"

#include "downball/media/audio_reader.h"
#include "downball/media/peaks.h"
#include "downball/media/sound_parts.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>
#include <vector>

namespace downball::media {

namespace {

constexpr double full_scale = 8388608; // 2^23

// The pieces, each with what the crossfade needs of the song around it.
std::vector<SoundPart> stretches_of(const SongCut& cut, double zero_s, std::int64_t around, int channels) {
    std::vector<SoundPart> stretches;
    const auto sample = [&](double seconds) { return std::llround((seconds - zero_s) * cut_song_hz); };
    for (const SongPiece& piece : cut.pieces) {
        const auto first = sample(piece.in_s) - around;
        stretches.emplace_back(first, std::max<std::int64_t>(0, sample(piece.out_s) + around - first),
                               static_cast<std::size_t>(channels));
    }
    return stretches;
}

// How alike two sides of a join are, wave by wave: 1 = the same, 0 = strangers (or opposed).
double correlation(const SoundPart& a, std::int64_t in_a, const SoundPart& b, std::int64_t in_b,
                   std::int64_t n) {
    double both = 0, power_a = 0, power_b = 0;
    for (std::size_t c = 0; c < a.channels.size(); ++c)
        for (std::int64_t i = 0; i < n; ++i) {
            const double x = static_cast<double>(a.channels[c][static_cast<std::size_t>(in_a + i)]);
            const double y = static_cast<double>(b.channels[c][static_cast<std::size_t>(in_b + i)]);
            both += x * y;
            power_a += x * x;
            power_b += y * y;
        }
    return power_a > 0 && power_b > 0 ? std::clamp(both / std::sqrt(power_a * power_b), 0.0, 1.0) : 0;
}

// Both sides' gains across a join. Fades that add up to 1 keep the level of a sound that is the same on both
// sides and dip by 3 dB where the sides are strangers; fades whose squares add up to 1 do the reverse. For a
// correlation r, g^2 + h^2 + 2 r g h = 1 keeps the power of either, and of all between (signal-matched,
// power-complementary crossfade: Fink, Holters & Zoelzer, DAFx 2016, from memory).
std::pair<double, double> gains(double done, double alike) {
    const double a = 1 - done, b = done;
    const double power = std::sqrt(a * a + b * b + 2 * alike * a * b);
    return {a / power, b / power};
}

// Piece behind piece; `around` samples on either side of a join are mixed of both.
std::vector<double> joined(const std::vector<SoundPart>& stretches, std::int64_t around, std::size_t channel,
                           std::int64_t samples) {
    std::vector<double> out(static_cast<std::size_t>(samples), 0.0);
    std::int64_t begun = 0;
    for (std::size_t p = 0; p < stretches.size(); ++p) {
        const SoundPart& stretch = stretches[p];
        const auto length = stretch.length - 2 * around;
        for (std::int64_t i = 0; i < std::min(length, samples - begun); ++i)
            out[static_cast<std::size_t>(begun + i)] =
                static_cast<double>(stretch.channels[channel][static_cast<std::size_t>(around + i)]);
        begun += std::max<std::int64_t>(0, length);
    }
    begun = 0;
    for (std::size_t p = 0; p + 1 < stretches.size(); ++p) {
        begun += stretches[p].length - 2 * around;
        const auto in_a = stretches[p].length - 2 * around; // `around` before the piece's out
        const double alike = correlation(stretches[p], in_a, stretches[p + 1], 0, 2 * around);
        for (std::int64_t i = 0; i < 2 * around; ++i) {
            const auto at = begun - around + i;
            if (at < 0 || at >= samples) continue;
            const auto [left, entered] =
                gains((static_cast<double>(i) + 0.5) / (2.0 * static_cast<double>(around)), alike);
            out[static_cast<std::size_t>(at)] =
                left *
                    static_cast<double>(stretches[p].channels[channel][static_cast<std::size_t>(in_a + i)]) +
                entered *
                    static_cast<double>(stretches[p + 1].channels[channel][static_cast<std::size_t>(i)]);
        }
    }
    return out;
}

// Half a cosine: it begins level, so that a hit at its start is heard whole.
double falling(double done) {
    return 0.5 + 0.5 * std::cos(std::numbers::pi * std::clamp(done, 0.0, 1.0));
}

void fade(std::vector<double>& samples, const SongCut& cut, std::int64_t sounding) {
    const auto rise = std::llround(cut.fade_in_s * cut_song_hz),
               fall = std::llround(cut.fade_out_s * cut_song_hz);
    const auto end = std::min<std::int64_t>(sounding, static_cast<std::int64_t>(samples.size()));
    for (std::int64_t i = 0; i < std::min<std::int64_t>(rise, end); ++i)
        samples[static_cast<std::size_t>(i)] *=
            1 - falling(static_cast<double>(i) / static_cast<double>(rise));
    for (std::int64_t i = std::max<std::int64_t>(0, end - fall); i < end; ++i)
        samples[static_cast<std::size_t>(i)] *=
            falling((static_cast<double>(i - (end - fall)) + 0.5) / static_cast<double>(fall));
}

} // namespace

Result<CutSongFile> cut_song_file(const MediaInfo& song, const SongCut& cut, std::int64_t samples,
                                  const LongWork& work) {
    auto reader = AudioReader::open(song.path, {.song = true});
    if (!reader) return reader.error();
    CutSongFile file;
    file.channels = reader->channels();
    if (file.channels > 2)
        return Error{
            Fault::bad_input,
            fmt::format("this song has {} channels; the song as cut is written in mono or stereo: give "
                        "a stereo mix of it, or say --song original",
                        file.channels),
            song.path};
    // A song with pictures is counted from the first of them.
    const double zero_s = song.has_video && song.audio ? song.audio->first_s : 0;
    const auto around = cut.pieces.size() > 1 ? std::llround(cut.crossfade_s * cut_song_hz / 2) : 0;
    auto stretches = stretches_of(cut, zero_s, around, file.channels);
    if (auto read = read_parts(*reader, cut_song_hz, stretches, work); !read) return read.error();

    file.broke_off = reader->broke_off();
    std::int64_t sounding = 0;
    for (const SoundPart& stretch : stretches)
        sounding += stretch.length - 2 * around;
    std::vector<std::vector<double>> out;
    double high = 0, low = 0;
    for (std::size_t c = 0; c < static_cast<std::size_t>(file.channels); ++c) {
        out.push_back(joined(stretches, around, c, samples));
        fade(out.back(), cut, sounding);
        for (const double x : out.back()) {
            high = std::max(high, x);
            low = std::min(low, x);
        }
    }
    const double gain = 1 / std::max({1.0, high, -low});
    file.gain_db = gain < 1 ? 20 * std::log10(gain) : 0;
    PeakBins peaks(static_cast<double>(samples), drawn_peaks);
    std::vector<std::int32_t> whole;
    whole.reserve(static_cast<std::size_t>(samples * file.channels));
    for (std::size_t i = 0; i < static_cast<std::size_t>(samples); ++i)
        for (const auto& channel : out) {
            peaks.add(static_cast<double>(i), channel[i] * gain);
            whole.push_back(static_cast<std::int32_t>(
                std::clamp<long long>(std::llround(channel[i] * gain * full_scale), -8388608, 8388607)));
        }
    auto bytes = wav_bytes(whole, file.channels, cut_song_hz);
    if (!bytes) return Error{bytes.error().fault, bytes.error().what, song.path};
    file.bytes = std::move(*bytes);
    file.peaks = peaks.take();
    file.id = content_id_of(file.bytes);
    return file;
}

} // namespace downball::media
