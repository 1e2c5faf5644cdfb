// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/onset_strength.h"

#include <algorithm>
#include <cmath>

namespace downball::beats {

namespace {

// The frames of the song that sound: from 60 dB under its loudest frame at the start (a quiet intro), to
// 45 dB under it at the end (a beat in the ring-out is of no use to anybody).
void find_sound(const SongFeatures& song, OnsetStrength& out) {
    const float loudest = *std::max_element(song.loudness.begin(), song.loudness.end());
    const auto over = [&](float share) {
        return [=](float power) { return power > share * loudest && power > 1e-12f; };
    };
    const auto first = std::find_if(song.loudness.begin(), song.loudness.end(), over(1e-6f));
    const auto last = std::find_if(song.loudness.rbegin(), song.loudness.rend(), over(3e-5f));
    out.first = static_cast<std::size_t>(first - song.loudness.begin());
    out.last = static_cast<std::size_t>(song.loudness.rend() - last);
    if (out.first > out.last) out.first = out.last = 0;
}

// Amplitudes over each band's own mean, log-compressed: quiet bands count as loud ones do, but one 50 dB
// under the loudest band is noise and stays small. A change of gain cancels out.
std::vector<float> compressed(const SongFeatures& song, const OnsetStrength& range) {
    const std::size_t n = song.bands;
    std::vector<double> mean(n, 1e-9);
    for (std::size_t k = range.first; k < range.last; ++k)
        for (std::size_t b = 0; b < n; ++b)
            mean[b] += std::sqrt(song.band_power[k * n + b]);
    const double floor = 0.003 * *std::max_element(mean.begin(), mean.end());
    std::vector<float> per(n);
    const auto count = static_cast<double>(std::max<std::size_t>(1, range.last - range.first));
    constexpr double compression =
        10; // the mean stands at log(11): 10 dB of rise is plain, 40 dB not forty times it
    for (std::size_t b = 0; b < n; ++b)
        per[b] = static_cast<float>(compression * count / std::max(mean[b], floor));
    std::vector<float> out(song.frames * n);
    for (std::size_t i = 0; i < out.size(); ++i)
        out[i] = std::log1p(per[i % n] * std::sqrt(song.band_power[i]));
    return out;
}

OnsetStrength::Register register_of(const SongFeatures& song, std::size_t band) {
    if (band < song.low_bands) return OnsetStrength::low;
    if (song.band_hz[band] < 1500) return OnsetStrength::mid;
    return song.band_hz[band] < 5000 ? OnsetStrength::presence : OnsetStrength::high;
}

// Mean over +-reach frames, shorter at the ends.
std::vector<double> moving_mean(const std::vector<double>& x, std::size_t reach) {
    std::vector<double> sums(x.size() + 1, 0.0), out(x.size());
    for (std::size_t i = 0; i < x.size(); ++i)
        sums[i + 1] = sums[i] + x[i];
    for (std::size_t i = 0; i < x.size(); ++i) {
        const std::size_t from = i > reach ? i - reach : 0, to = std::min(x.size(), i + reach + 1);
        out[i] = (sums[to] - sums[from]) / static_cast<double>(to - from);
    }
    return out;
}

double root_mean_square(const std::vector<double>& x) {
    double squares = 0;
    for (double v : x)
        squares += v * v;
    return x.empty() ? 0 : std::sqrt(squares / static_cast<double>(x.size()));
}

// False for a hum, a held tone, a constant: in 1 frame of 100 the bands must rise by half a decibel on
// average, or the last bits of the arithmetic would be taken for a rhythm. Noise reaches four times as much.
bool anything_begins(const std::vector<std::vector<double>>& flux, std::size_t bands) {
    std::vector<double> rise(flux.front().size(), 0.0);
    for (const auto& f : flux)
        for (std::size_t k = 0; k < f.size(); ++k)
            rise[k] += f[k] / static_cast<double>(bands);
    const auto place = rise.begin() + static_cast<std::ptrdiff_t>(rise.size() * 99 / 100);
    std::nth_element(rise.begin(), place, rise.end());
    return *place > 0.05;
}

// Local mean (1.5 s) off, halved where negative; then over the local spread (10 s), so that a quiet verse
// speaks as clearly as a chorus, but at most four times louder than it is.
std::vector<float> levelled(const std::vector<double>& x, double frame_s) {
    const auto mean = moving_mean(x, static_cast<std::size_t>(0.75 / frame_s));
    std::vector<double> peaks(x.size()), squares(x.size());
    double total = 0;
    for (std::size_t i = 0; i < x.size(); ++i) {
        peaks[i] = x[i] - mean[i];
        if (peaks[i] < 0) peaks[i] *= 0.5;
        squares[i] = peaks[i] * peaks[i];
        total += squares[i];
    }
    const auto local = moving_mean(squares, static_cast<std::size_t>(5 / frame_s));
    const double floor = total / static_cast<double>(std::max<std::size_t>(1, x.size())) / 16;
    std::vector<float> out(x.size());
    if (total > 0)
        for (std::size_t i = 0; i < x.size(); ++i)
            out[i] = static_cast<float>(peaks[i] / std::sqrt(std::max(local[i], floor)));
    return out;
}

// Cosine distance of the log-compressed tones after an instant from those before it. Tonal frames are long:
// a gap of one on either side keeps each side's tones out of the other's sum.
std::vector<float> harmonic_change(const SongFeatures& song) {
    std::vector<float> out(song.frames, 0.0f);
    const std::size_t n = song.tones;
    if (n == 0 || song.tone_power.empty()) return out;
    const std::size_t frames = song.tone_power.size() / n;
    float loudest = 1e-9f;
    for (float p : song.tone_power)
        loudest = std::max(loudest, p);
    std::vector<double> sums((frames + 1) * n, 0.0);
    for (std::size_t k = 0; k < frames; ++k)
        for (std::size_t t = 0; t < n; ++t)
            sums[(k + 1) * n + t] =
                sums[k * n + t] +
                static_cast<double>(std::log1p(30 * std::sqrt(song.tone_power[k * n + t] / loudest)));
    const auto reach = static_cast<std::size_t>(std::max(2L, std::lround(0.35 / song.tonal_s)));
    std::vector<double> change(frames, 0.0);
    for (std::size_t k = 2; k + 2 < frames; ++k) {
        const std::size_t from = k > reach ? k - reach : 0, to = std::min(frames, k + 1 + reach);
        double dot = 0, before = 1e-12, after = 1e-12;
        for (std::size_t t = 0; t < n; ++t) {
            const double b = sums[(k - 1) * n + t] - sums[from * n + t];
            const double a = sums[to * n + t] - sums[(k + 2) * n + t];
            dot += a * b;
            before += b * b;
            after += a * a;
        }
        change[k] = std::clamp(1 - dot / std::sqrt(before * after), 0.0, 1.0);
    }
    for (std::size_t i = 0; i < out.size(); ++i) {
        const double place = static_cast<double>(i) * song.frame_s / song.tonal_s;
        const auto k = static_cast<std::size_t>(place);
        if (k + 1 >= frames) break;
        const double part = place - static_cast<double>(k);
        out[i] = static_cast<float>(change[k] * (1 - part) + change[k + 1] * part);
    }
    return out;
}

} // namespace

float OnsetStrength::near(Register reg, double at, int reach) const {
    const auto& x = in[reg];
    const auto centre = static_cast<long>(std::lround(at));
    const long from = std::max(0L, centre - reach),
               to = std::min(static_cast<long>(x.size()) - 1, centre + reach);
    float best = 0;
    for (long i = from; i <= to; ++i)
        best = std::max(best, x[static_cast<std::size_t>(i)]);
    return best;
}

OnsetStrength onset_strength(const SongFeatures& song) {
    OnsetStrength out;
    out.frame_s = song.frame_s;
    out.all.assign(song.frames, 0.0f);
    out.harmony.assign(song.frames, 0.0f);
    if (song.frames == 0) return out;
    find_sound(song, out);
    for (std::size_t k = 0; k < song.frames; ++k) {
        float bass = 0;
        for (std::size_t b = 0; b < song.low_bands; ++b)
            bass += song.band_power[k * song.bands + b];
        out.loudness_db.push_back(10 * std::log10(std::max(song.loudness[k], 1e-9f)));
        out.bass_db.push_back(10 * std::log10(std::max(bass, 1e-9f)));
    }
    const auto level = compressed(song, out);

    // The difference reaches over half a frame length: 2 hops for the short frames, 4 for the long ones. A
    // step then gives its largest difference when it has just entered the frame; `early` moves that frame
    // onto the instant of the step (checked with clicks in the tests).
    std::vector<std::vector<double>> flux(OnsetStrength::registers, std::vector<double>(song.frames, 0.0));
    auto struck = flux;
    for (std::size_t b = 0; b < song.bands; ++b) {
        const auto reg = register_of(song, b);
        const std::size_t reach = reg == OnsetStrength::low ? 4 : 2;
        const std::size_t early = reg == OnsetStrength::low ? 1 : 0;
        for (std::size_t k = early; k < song.frames; ++k) {
            const float now = level[k * song.bands + b];
            const float before =
                k < reach ? 0.0f : level[(k - reach) * song.bands + b]; // silence precedes a song
            const float rise = now - before;
            if (rise <= 0) continue;
            flux[reg][k - early] += static_cast<double>(rise);
            struck[reg][k - early] += static_cast<double>(std::expm1(now) - std::expm1(before));
        }
    }
    if (!anything_begins(flux, song.bands)) {
        for (auto& in : out.in)
            in.assign(song.frames, 0.0f);
        return out;
    }
    constexpr std::array<double, OnsetStrength::registers> weight{1.2, 1.0, 0.9, 0.5};
    std::vector<double> sum(song.frames, 0.0);
    for (std::size_t reg = 0; reg < OnsetStrength::registers; ++reg) {
        const double scale = 1 / std::max(1e-9, root_mean_square(flux[reg]));
        const double struck_scale = 1 / std::max(1e-9, root_mean_square(struck[reg]));
        out.in[reg].assign(song.frames, 0.0f);
        for (std::size_t k = 0; k < song.frames; ++k) {
            out.in[reg][k] = static_cast<float>(struck[reg][k] * struck_scale);
            sum[k] += weight[reg] * flux[reg][k] * scale;
        }
    }
    out.all = levelled(sum, song.frame_s);
    out.harmony = harmonic_change(song);
    return out;
}

MusicEnds music_ends(const OnsetStrength& onsets) {
    MusicEnds out{static_cast<double>(onsets.first), static_cast<double>(onsets.last)};
    const auto plain = [&](std::size_t k) {
        return onsets.all[k] > 1.5f && onsets.all[k] >= onsets.all[k > 0 ? k - 1 : 0] &&
               (k + 1 >= onsets.frames() || onsets.all[k] > onsets.all[k + 1]);
    };
    for (std::size_t k = onsets.first; k < onsets.last; ++k)
        if (plain(k)) {
            out.first = static_cast<double>(k);
            break;
        }
    for (std::size_t k = onsets.last; k-- > onsets.first;)
        if (plain(k)) {
            out.last = static_cast<double>(k);
            break;
        }
    return out;
}

} // namespace downball::beats
