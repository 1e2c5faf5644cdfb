// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/beat_texture.h"

#include <algorithm>
#include <cmath>

namespace downball::beats {

namespace {

constexpr double level_range_db = 40;

// Frames of a stretch, never none.
std::pair<std::size_t, std::size_t> frames_in(double from_s, double to_s, double frame_s,
                                              std::size_t frames) {
    const auto at = [&](double s) {
        return std::min(frames, static_cast<std::size_t>(std::max(0L, std::lround(s / frame_s))));
    };
    const std::size_t from = std::min(at(from_s), frames - 1);
    return {from, std::max(from + 1, at(to_s))};
}

// Pitch classes of a stretch. The root of the power keeps a loud bass note from being all there is.
void add_tone(const SongFeatures& song, double from_s, double to_s, float* out) {
    const std::size_t frames = song.tones > 0 ? song.tone_power.size() / song.tones : 0;
    if (frames == 0) return;
    const auto [from, to] = frames_in(from_s, to_s, song.tonal_s, frames);
    double sum = 0;
    std::array<double, BeatTexture::pitches> classes{};
    for (std::size_t t = 0; t < song.tones; ++t) {
        double power = 0;
        for (std::size_t k = from; k < to; ++k)
            power += static_cast<double>(song.tone_power[k * song.tones + t]);
        classes[t % BeatTexture::pitches] += std::sqrt(power);
    }
    for (const double x : classes)
        sum += x * x;
    for (std::size_t p = 0; p < classes.size() && sum > 0; ++p)
        out[p] = static_cast<float>(classes[p] / std::sqrt(sum));
}

std::size_t register_of(float hz) {
    return hz < 150 ? 0 : hz < 800 ? 1 : hz < 5000 ? 2 : 3;
}

// Decibels for now; levelled() makes them relative to the song.
void add_levels(const SongFeatures& song, double from_s, double to_s, float* out) {
    std::array<double, BeatTexture::registers> power{};
    const auto [from, to] = frames_in(from_s, to_s, song.frame_s, song.frames);
    for (std::size_t k = from; k < to; ++k)
        for (std::size_t b = 0; b < song.bands; ++b)
            power[register_of(song.band_hz[b])] += static_cast<double>(song.band_power[k * song.bands + b]);
    for (std::size_t r = 0; r < power.size(); ++r)
        out[r] = static_cast<float>(10 * std::log10(power[r] / static_cast<double>(to - from) + 1e-12));
}

void levelled(std::vector<BeatTexture>& textures) {
    for (std::size_t r = 0; r < BeatTexture::registers; ++r) {
        std::vector<float> all;
        for (const BeatTexture& texture : textures)
            for (std::size_t q = 0; q < BeatTexture::quarters; ++q)
                all.push_back(texture.level[q * BeatTexture::registers + r]);
        const auto high = all.begin() + static_cast<std::ptrdiff_t>((all.size() - 1) * 19 / 20);
        std::nth_element(all.begin(), high, all.end());
        for (BeatTexture& texture : textures)
            for (std::size_t q = 0; q < BeatTexture::quarters; ++q) {
                float& level = texture.level[q * BeatTexture::registers + r];
                level = std::clamp(1 + (level - *high) / static_cast<float>(level_range_db), 0.0f, 1.0f);
            }
    }
}

double tone_likeness(const BeatTexture& a, const BeatTexture& b) {
    double sum = 0;
    for (std::size_t h = 0; h < BeatTexture::halves; ++h) {
        double dot = 0, in_a = 0, in_b = 0;
        for (std::size_t p = h * BeatTexture::pitches; p < (h + 1) * BeatTexture::pitches; ++p) {
            dot += static_cast<double>(a.tone[p]) * static_cast<double>(b.tone[p]);
            in_a += static_cast<double>(a.tone[p]);
            in_b += static_cast<double>(b.tone[p]);
        }
        // Even unrelated chords share partials: their cosine seldom falls under a half.
        sum += in_a <= 0 && in_b <= 0 ? 1 : std::clamp(2 * dot - 1, 0.0, 1.0);
    }
    return sum / BeatTexture::halves;
}

double level_likeness(const BeatTexture& a, const BeatTexture& b) {
    double sum = 0;
    for (std::size_t i = 0; i < a.level.size(); ++i) {
        const double off = static_cast<double>(a.level[i]) - static_cast<double>(b.level[i]);
        sum += off * off;
    }
    return std::max(0.0, 1 - 2 * std::sqrt(sum / static_cast<double>(a.level.size())));
}

} // namespace

std::vector<BeatTexture> beat_textures(const SongFeatures& song, const std::vector<double>& beats_s) {
    std::vector<BeatTexture> textures;
    const std::size_t n = beats_s.size();
    if (song.frames == 0 || n == 0) return textures;
    for (std::size_t i = 0; i < n; ++i) {
        const double start = beats_s[i];
        const double gap = i + 1 < n ? beats_s[i + 1] - start : i > 0 ? start - beats_s[i - 1] : 0.5;
        BeatTexture& texture = textures.emplace_back();
        for (std::size_t h = 0; h < BeatTexture::halves; ++h)
            add_tone(song, start + gap * static_cast<double>(h) / BeatTexture::halves,
                     start + gap * static_cast<double>(h + 1) / BeatTexture::halves,
                     texture.tone.data() + h * BeatTexture::pitches);
        for (std::size_t q = 0; q < BeatTexture::quarters; ++q)
            add_levels(song, start + gap * static_cast<double>(q) / BeatTexture::quarters,
                       start + gap * static_cast<double>(q + 1) / BeatTexture::quarters,
                       texture.level.data() + q * BeatTexture::registers);
    }
    levelled(textures);
    return textures;
}

double likeness(const BeatGrid& grid, std::size_t a, std::size_t b) {
    if (grid.textures.size() == grid.beats.size())
        return (tone_likeness(grid.textures[a], grid.textures[b]) +
                level_likeness(grid.textures[a], grid.textures[b])) /
               2;
    const Beat &x = grid.beats[a], &y = grid.beats[b];
    return std::max(0.0, 1 - std::abs(x.energy - y.energy) - std::abs(x.low_end - y.low_end) -
                             std::abs(x.strength - y.strength) / 2);
}

double join_likeness(const BeatGrid& grid, std::size_t a, std::size_t b, std::size_t reach) {
    const std::size_t before = std::min({reach, a, b});
    const std::size_t after = std::min({reach, grid.beats.size() - a, grid.beats.size() - b});
    double sum = 0;
    for (std::size_t i = 1; i <= before; ++i)
        sum += likeness(grid, a - i, b - i);
    for (std::size_t i = 0; i < after; ++i)
        sum += likeness(grid, a + i, b + i);
    return before + after > 0 ? sum / static_cast<double>(before + after) : 0;
}

} // namespace downball::beats
