// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/reading.h"

#include "beats/beat_path.h"

#include <algorithm>
#include <cmath>

namespace downball::beats {

namespace {

double median_gap(const std::vector<double>& frames) {
    std::vector<double> gaps;
    for (std::size_t i = 1; i < frames.size(); ++i)
        gaps.push_back(frames[i] - frames[i - 1]);
    std::nth_element(gaps.begin(), gaps.begin() + static_cast<std::ptrdiff_t>(gaps.size() / 2), gaps.end());
    return gaps[gaps.size() / 2];
}

double strength_at(const OnsetStrength& onsets, double at) {
    const auto centre = std::lround(at);
    float best = -1;
    for (long i = centre - 2; i <= centre + 2; ++i)
        if (i >= 0 && i < static_cast<long>(onsets.frames()))
            best = std::max(best, onsets.all[static_cast<std::size_t>(i)]);
    return std::min(4.0f, best);
}

// What happens inside each beat, band by band at 12 steps (4 and 3 divide it), compared with later beats.
std::array<double, 9> alike(const OnsetStrength& onsets, const std::vector<double>& beats) {
    constexpr std::size_t steps = 12;
    std::array<double, 9> out{};
    if (beats.size() < 12) return out;
    const std::size_t n = beats.size() - 1, width = steps * onsets.bands;
    std::vector<float> inside(n * width);
    for (std::size_t i = 0; i < n; ++i) {
        const double step = (beats[i + 1] - beats[i]) / steps;
        for (std::size_t s = 0; s < steps; ++s) {
            const auto centre =
                static_cast<std::size_t>(std::lround(beats[i] + static_cast<double>(s) * step));
            for (long d = -2; d <= 2; ++d) {
                const auto k = static_cast<long>(centre) + d;
                if (k < 0 || k >= static_cast<long>(onsets.frames())) continue;
                const float weight = d == 0 ? 1.0f : (std::abs(d) == 1 ? 0.8f : 0.4f);
                const float* band = onsets.band.data() + static_cast<std::size_t>(k) * onsets.bands;
                for (std::size_t b = 0; b < onsets.bands; ++b)
                    inside[i * width + s * onsets.bands + b] += weight * std::min(4.0f, band[b]);
            }
        }
    }
    // Each band's own mean off: what is always there says nothing.
    for (std::size_t b = 0; b < onsets.bands; ++b) {
        double sum = 0;
        for (std::size_t j = b; j < inside.size(); j += onsets.bands)
            sum += static_cast<double>(inside[j]);
        const auto mean = static_cast<float>(sum / static_cast<double>(n * steps));
        for (std::size_t j = b; j < inside.size(); j += onsets.bands)
            inside[j] -= mean;
    }
    double power = 0;
    for (float x : inside)
        power += static_cast<double>(x * x);
    power /= static_cast<double>(n);
    for (std::size_t m = 1; m < out.size(); ++m) {
        double sum = 0;
        for (std::size_t j = 0; j + m * width < inside.size(); ++j)
            sum += static_cast<double>(inside[j] * inside[j + m * width]);
        out[m] = power > 0 ? sum / (power * static_cast<double>(n - m)) : 0;
    }
    return out;
}

std::vector<double> moved(const std::vector<double>& beats, double periods) {
    std::vector<double> out;
    for (std::size_t i = 0; i + 1 < beats.size(); ++i)
        out.push_back(beats[i] + periods * (beats[i + 1] - beats[i]));
    return out;
}

// What is struck on the beats, not how suddenly: a snare outweighs a hi-hat, and the kick on top of a bass
// note counts in full. Bodies of drums and chords tell beat from off-beat best; hats hardly do.
double struck(const OnsetStrength& onsets, const std::vector<double>& beats) {
    constexpr std::array<double, OnsetStrength::registers> weight{0.8, 1.0, 0.8, 0.2};
    double sum = 0;
    for (double beat : beats)
        for (std::size_t reg = 0; reg < OnsetStrength::registers; ++reg)
            sum += weight[reg] * static_cast<double>(std::min(
                                     4.0f, onsets.near(static_cast<OnsetStrength::Register>(reg), beat, 3)));
    return beats.empty() ? 0 : sum / static_cast<double>(beats.size());
}

// How much of one register's strength lies on the beats rather than on the quarter of a period where it is
// struck most, -1..1.
double lead(const OnsetStrength& onsets, OnsetStrength::Register reg, const std::vector<double>& beats) {
    std::array<double, 4> at{};
    for (std::size_t i = 0; i + 1 < beats.size(); ++i)
        for (std::size_t q = 0; q < at.size(); ++q)
            at[q] += static_cast<double>(std::min(
                4.0f,
                onsets.near(reg, beats[i] + 0.25 * static_cast<double>(q) * (beats[i + 1] - beats[i]), 3)));
    const double elsewhere = *std::max_element(at.begin() + 1, at.end());
    return at[0] + elsewhere > 0 ? (at[0] - elsewhere) / (at[0] + elsewhere) : 0;
}

// The weights were set on drum and bass patterns of twelve kinds. Likeness tells metrical levels and threes
// from twos apart, since only the true beat and bar bring the same again; and where half-way points are
// struck as hard as the beats, they are beats. The lead is capped: empty half-way points prove no more than
// weak ones. A tempo between whose beats kick or snare live is believed less: at half its tempo, back-beat
// music has one of them there.
Reading weigh(const OnsetStrength& onsets, std::vector<double> beats, const BeatOptions& options) {
    Reading r;
    double on = 0, half = 0;
    for (std::size_t i = 0; i + 1 < beats.size(); ++i) {
        on += strength_at(onsets, beats[i]);
        half += std::max(0.0, strength_at(onsets, 0.5 * (beats[i] + beats[i + 1])));
    }
    r.pulse = (on - 0.4 * half) / static_cast<double>(beats.size() - 1);
    r.alike = alike(onsets, beats);
    r.prior = tempo_prior(median_gap(beats) * onsets.frame_s, options);
    const auto& a = r.alike;
    r.bar = std::max(a[4] - std::max(a[2], a[3]), a[3] - std::max(a[2], a[4]));
    const double between = struck(onsets, moved(beats, 0.5));
    r.phase = struck(onsets, beats);
    r.lead = r.phase + between > 0 ? (r.phase - between) / (r.phase + between) : 0;
    const double lowest =
        std::min({lead(onsets, OnsetStrength::low, beats), lead(onsets, OnsetStrength::mid, beats),
                  lead(onsets, OnsetStrength::presence, beats)});
    r.conflict = std::max(0.0, -0.2 - lowest);
    r.level = -r.conflict + 6 * std::clamp(r.lead, 0.0, 0.1) + 2 * a[1] + 3 * std::max(a[3], a[4]) +
              4 * std::clamp(r.bar, 0.0, 0.15) + r.prior;
    r.frames = std::move(beats);
    return r;
}

} // namespace

std::vector<Reading> readings(const OnsetStrength& onsets, const std::vector<TempoGuess>& guesses,
                              const BeatOptions& options) {
    std::vector<Reading> out;
    for (const TempoGuess& guess : guesses) {
        BeatPath path = best_path(onsets, guess.period_s, 60 / options.fastest_bpm, 60 / options.slowest_bpm);
        if (path.frames.size() < 4) continue;
        std::vector<double> chosen = path.frames;
        double best =
            1.02 * struck(onsets, path.frames); // the path's own instants, unless others are plainly better
        for (double periods : {0.5, 0.25, 0.75}) {
            auto other = moved(path.frames, periods);
            const double value = struck(onsets, other);
            if (value > best) {
                best = value;
                chosen = std::move(other);
            }
        }
        out.push_back(weigh(onsets, std::move(chosen), options));
    }
    std::stable_sort(out.begin(), out.end(),
                     [](const Reading& a, const Reading& b) { return a.level > b.level; });
    return out;
}

} // namespace downball::beats
