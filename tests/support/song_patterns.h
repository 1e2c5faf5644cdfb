// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <string_view>
#include <vector>

// Music made in the tests: every sound begins exactly at the instant it is given, between samples if need be.
namespace downball::test {

// A fixed generator of our own, so that the same bytes come out with every standard library.
class Dice {
  public:
    explicit Dice(std::uint64_t seed) : state_(seed * 2862933555777941757ULL + 3037000493ULL) {}
    double uniform() { // -1..1
        state_ ^= state_ << 13;
        state_ ^= state_ >> 7;
        state_ ^= state_ << 17;
        return static_cast<double>(state_ >> 11) / 4503599627370496.0 - 1.0;
    }
    double normal() { return 1.73 * 0.5774 * (uniform() + uniform() + uniform()); } // spread 1, near enough

  private:
    std::uint64_t state_;
};

class Mix {
  public:
    Mix(int rate_hz, double length_s)
        : rate_(rate_hz), samples_(static_cast<std::size_t>(length_s * rate_hz), 0.0f), dice_(7) {}

    int rate() const { return rate_; }
    std::vector<float>& samples() { return samples_; }

    // A burst of noise that rises within attack_s and dies away with decay_s.
    void noise(double at_s, double level, double attack_s, double decay_s) {
        double before = 0;
        add(at_s, 8 * decay_s + attack_s, [&](double t) {
            const double white = dice_.uniform();
            const double bright =
                white - 0.6 * before; // little under 500 Hz, as in a hat or the wires of a snare
            before = white;
            return level * envelope(t, attack_s, decay_s) * bright;
        });
    }
    // A tone whose pitch falls from twice hz to hz within a few milliseconds, as the skin of a drum does.
    void drum(double at_s, double level, double hz, double decay_s) {
        add(at_s, 6 * decay_s, [&](double t) {
            const double turns = hz * (t + 0.01 * (1 - std::exp(-t / 0.01)));
            return level * envelope(t, 0.0005, decay_s) * std::sin(2 * std::numbers::pi * turns);
        });
    }
    void tone(double at_s, double length_s, double level, double hz, double attack_s = 0.005) {
        add(at_s, length_s, [&](double t) {
            const double fade = std::min({1.0, t / attack_s, (length_s - t) / 0.02});
            return level * fade *
                   (std::sin(2 * std::numbers::pi * hz * t) + 0.4 * std::sin(4 * std::numbers::pi * hz * t));
        });
    }
    void hiss(double level) {
        for (float& x : samples_)
            x += static_cast<float>(level * dice_.uniform());
    }
    Dice& dice() { return dice_; }

  private:
    static double envelope(double t, double attack_s, double decay_s) {
        return t < attack_s ? t / attack_s : std::exp(-(t - attack_s) / decay_s);
    }
    template <class Sound>
    void add(double at_s, double length_s, Sound sound) {
        const double start = at_s * rate_;
        for (double i = std::max(0.0, std::ceil(start));
             i < start + length_s * rate_ && i < static_cast<double>(samples_.size()); ++i)
            samples_[static_cast<std::size_t>(i)] += static_cast<float>(sound((i - start) / rate_));
    }

    int rate_;
    std::vector<float> samples_;
    Dice dice_;
};

// Sixteen steps a bar in 4/4, twelve in 3/4: 'x' struck, '.' not.
struct Pattern {
    int beats = 4;
    std::string_view kick, snare, hat, bass;
};
inline constexpr Pattern four_on_the_floor{4, "x...x...x...x...", "....x.......x...", "..x...x...x...x.",
                                           "..x...x...x...x."};
inline constexpr Pattern back_beat{4, "x.......x.x.....", "....x.......x...", "x.x.x.x.x.x.x.x.",
                                   "x...x...x...x..."};
inline constexpr Pattern breakbeat{4, "x.x.......x.....", "....x.......x...", "x.x.x.x.x.x.x.x.",
                                   "x.....x...x....."};
inline constexpr Pattern half_time{4, "x.....x.........", "........x.......", "x.x.x.x.x.x.x.x.",
                                   "x.....x........."};
inline constexpr Pattern waltz{3, "x...........", "....x...x...", "x...x...x...", "x..........."};

struct Played {
    std::vector<double> beats, downbeats;
    double end_s = 0;
};

struct Playing {
    double start_s = 0;
    double jitter_s = 0;    // of every stroke
    double swing = 0.5;     // share of an eighth taken by its first sixteenth
    int drumless_from = -1; // bars [from, to) keep bass and chords only
    int drumless_to = -1;
};

// Plays `bars` bars into the mix; `bpm_of(bar)` gives each bar's tempo.
template <class Tempo>
Played play(Mix& mix, const Pattern& p, int bars, Tempo bpm_of, const Playing& how = {}) {
    Played out;
    constexpr double roots[] = {110.0, 87.31, 130.81, 98.0};
    double now = how.start_s;
    for (int bar = 0; bar < bars; ++bar) {
        const double beat = 60 / bpm_of(bar), step = beat / 4, root = roots[bar % 4];
        const bool drums = !(how.drumless_from <= bar && bar < how.drumless_to);
        for (int b = 0; b < p.beats; ++b)
            out.beats.push_back(now + b * beat);
        out.downbeats.push_back(now);
        for (int s = 0; s < 4 * p.beats; ++s) {
            double at = now + s * step + (s % 2 ? (2 * how.swing - 1) * 2 * step * 0.5 : 0.0);
            at += how.jitter_s * mix.dice().normal();
            const auto i = static_cast<std::size_t>(s);
            if (drums && p.kick[i] == 'x') {
                mix.drum(at, 0.5, 52, 0.08);
                mix.noise(at, 0.08, 0.0003, 0.003);
            }
            if (drums && p.snare[i] == 'x') {
                mix.drum(at, 0.2, 185, 0.05);
                mix.noise(at, 0.25, 0.0005, 0.06);
            }
            if (drums && p.hat[i] == 'x') mix.noise(at, 0.06, 0.0003, 0.02);
            if (p.bass[i] == 'x') mix.tone(at, 1.6 * step, 0.12, root / 2);
        }
        for (double third : {1.0, 1.2599, 1.4983})
            mix.tone(now, 0.97 * p.beats * beat, 0.03, 2 * root * third, 0.01);
        now += p.beats * beat;
    }
    out.end_s = now;
    return out;
}

} // namespace downball::test
