// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/beat_content.h"

#include "beats/beat_texture.h"

#include <algorithm>
#include <cmath>

namespace downball::beats {

namespace {

double decibels(double power) {
    return 10 * std::log10(std::max(power, 1e-12));
}

// Mean over the frames [from_s, to_s).
template <class Value>
double mean_between(double from_s, double to_s, double frame_s, std::size_t frames, Value value) {
    const auto from = static_cast<std::size_t>(std::max(0L, std::lround(from_s / frame_s)));
    const auto to = std::min(
        frames, std::max(from + 1, static_cast<std::size_t>(std::max(0L, std::lround(to_s / frame_s)))));
    double sum = 0;
    for (std::size_t k = from; k < to; ++k)
        sum += value(k);
    return to > from ? sum / static_cast<double>(to - from) : 0;
}

// Log-compressed tone spectrum of a stretch, of unit length.
std::vector<double> chord(const SongFeatures& song, double from_s, double to_s, double reference) {
    std::vector<double> out(song.tones);
    const std::size_t frames = song.tone_power.size() / std::max<std::size_t>(1, song.tones);
    double length = 0;
    for (std::size_t t = 0; t < song.tones; ++t) {
        out[t] = mean_between(from_s, to_s, song.tonal_s, frames, [&](std::size_t k) {
            return std::log1p(30 * std::sqrt(static_cast<double>(song.tone_power[k * song.tones + t])) /
                              reference);
        });
        length += out[t] * out[t];
    }
    if (length > 0)
        for (double& x : out)
            x /= std::sqrt(length);
    return out;
}

// The same tone in all octaves as one; its cosine with another one's tells chords apart.
std::vector<double> folded(const std::vector<double>& tones) {
    std::vector<double> out(12, 0.0);
    for (std::size_t t = 0; t < tones.size(); ++t)
        out[t % 12] += tones[t];
    double length = 0;
    for (double x : out)
        length += x * x;
    if (length > 0)
        for (double& x : out)
            x /= std::sqrt(length);
    return out;
}

std::vector<double> colour(const SongFeatures& song, double from_s, double to_s) {
    std::vector<double> out;
    for (std::size_t b = song.low_bands; b < song.bands;) {
        std::size_t last = b;
        while (last < song.bands && song.band_hz[last] < 2 * song.band_hz[b])
            ++last;
        out.push_back(decibels(mean_between(from_s, to_s, song.frame_s, song.frames, [&](std::size_t k) {
            double sum = 0;
            for (std::size_t i = b; i < last; ++i)
                sum += static_cast<double>(song.band_power[k * song.bands + i]);
            return sum;
        })));
        b = last;
    }
    return out;
}

} // namespace

BeatContent beat_content(const SongFeatures& song, const OnsetStrength& onsets,
                         const std::vector<double>& beats_s) {
    BeatContent out;
    out.song_lufs = dsp::integrated_lufs(song.loudness_curve);
    out.textures = beat_textures(song, beats_s);
    double loudest = 1e-9;
    for (float p : song.tone_power)
        loudest = std::max(loudest, std::sqrt(static_cast<double>(p)));

    const std::size_t n = beats_s.size();
    for (std::size_t i = 0; i < n; ++i) {
        const double start = beats_s[i];
        const double gap = i + 1 < n ? beats_s[i + 1] - start : start - beats_s[i - (i > 0)];
        const double end = start + (gap > 0 ? gap : 0.5);
        const double frame = start / song.frame_s;
        out.low.push_back(static_cast<double>(onsets.near(OnsetStrength::low, frame, 3)));
        out.mid.push_back(static_cast<double>(onsets.near(OnsetStrength::mid, frame, 3)));
        out.presence.push_back(static_cast<double>(onsets.near(OnsetStrength::presence, frame, 3)));
        out.high.push_back(static_cast<double>(onsets.near(OnsetStrength::high, frame, 3)));
        out.lufs.push_back(dsp::lufs(song.loudness_curve.mean(start, end)));
        out.bass_db.push_back(
            decibels(mean_between(start, end, song.frame_s, song.frames, [&](std::size_t k) {
                double sum = 0;
                for (std::size_t b = 0; b < song.low_bands; ++b)
                    sum += static_cast<double>(song.band_power[k * song.bands + b]);
                return sum;
            })));
        // The tonal frames are long: begin a little inside, so that the chord before does not leak in.
        out.chord.push_back(folded(chord(song, start + 0.07, end, loudest)));
        out.colour_db.push_back(colour(song, start, end));
    }
    return out;
}

} // namespace downball::beats
