// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/dice.h"

#include "downball/dsp/biquad.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

// The sound of a struck ball and of its surroundings, made by rule.
namespace downball::test {

using Signal = std::vector<float>;

inline std::size_t samples_of(double seconds, double rate) {
    return static_cast<std::size_t>(std::max(0.0, seconds * rate));
}

// Adds `what` at an instant, interpolated between samples, so that truth need not fall on one.
inline void lay(Signal& into, const Signal& what, double at_s, double rate, double gain) {
    const double start = at_s * rate;
    const auto whole = static_cast<std::ptrdiff_t>(std::floor(start));
    const auto share = static_cast<float>(start - std::floor(start));
    for (std::size_t i = 0; i <= what.size(); ++i) {
        const std::ptrdiff_t to = whole + static_cast<std::ptrdiff_t>(i);
        if (to < 0 || to >= static_cast<std::ptrdiff_t>(into.size())) continue;
        const float now = i < what.size() ? what[i] : 0;
        const float last = i > 0 ? what[i - 1] : 0;
        into[static_cast<std::size_t>(to)] += static_cast<float>(gain) * ((1 - share) * now + share * last);
    }
}

inline void filter(Signal& s, const dsp::BiquadCoefficients& c) {
    dsp::Biquad run(c);
    for (float& x : s)
        x = static_cast<float>(run(static_cast<double>(x)));
}

// Rises as a quarter sine over `attack_s`, then falls exponentially.
inline double strike_envelope(double t, double attack_s, double decay_s) {
    const double rise = t < attack_s ? std::sin(t / attack_s * std::numbers::pi / 2) : 1.0;
    return rise * std::exp(-t / decay_s);
}

// A burst of band noise, the sound of skin on leather, of hands, of steps.
inline Signal noise_burst(Dice& dice, double rate, double centre_hz, double q, double attack_s,
                          double decay_s) {
    Signal s(samples_of(attack_s + 7 * decay_s, rate) + 8);
    for (std::size_t i = 0; i < s.size(); ++i)
        s[i] = static_cast<float>(dice.noise());
    filter(s, dsp::band_pass(std::min(centre_hz, 0.4 * rate), q, rate));
    for (std::size_t i = 0; i < s.size(); ++i)
        s[i] *= static_cast<float>(strike_envelope(static_cast<double>(i) / rate, attack_s, decay_s));
    return s;
}

inline void normalise(Signal& s) {
    double sum = 0;
    for (const float x : s)
        sum += static_cast<double>(x) * static_cast<double>(x);
    const auto gain = static_cast<float>(sum > 0 ? 1 / std::sqrt(sum) : 0);
    for (float& x : s)
        x *= gain;
}

// Families of struck-ball sounds, so that what was fitted on some can be tried on others.
enum class BallFamily {
    modes,    // a few damped partials of near-harmonic ratios + band noise
    thump,    // band noise alone, low and high: a flat ball, a poor microphone
    shell,    // many damped partials of an air-filled shell, excited by a half-sine blow of the hand
    recorded, // hits from files, see recorded_sounds.h
};

inline const char* name_of(BallFamily family) {
    constexpr std::array<const char*, 4> names{"modes", "thump", "shell", "recorded"};
    return names[static_cast<std::size_t>(family)];
}

// One hit without surroundings, energy 1. `hard` 0..1: softer is duller and slower.
inline Signal ball_hit(Dice& dice, double rate, BallFamily family, double body_hz, double hard) {
    Signal s(samples_of(0.35, rate));
    if (family == BallFamily::modes) {
        const double attack = dice.scale(0.0004, 0.0015) + (1 - hard) * dice.between(0.0005, 0.004);
        const double decay = dice.scale(0.009, dice.chance(0.2) ? 0.09 : 0.05);
        const double glide = dice.between(0, 0.25);
        double ratio = 1, level = 1;
        for (int mode = 0; mode < 4; ++mode) {
            const double fall = decay / (1 + 0.5 * mode);
            double phase = dice.between(0, 2 * std::numbers::pi);
            for (std::size_t i = 0; i < s.size(); ++i) {
                const double t = static_cast<double>(i) / rate;
                phase += 2 * std::numbers::pi * body_hz * ratio * (1 + glide * std::exp(-t / 0.008)) / rate;
                s[i] += static_cast<float>(level * std::sin(phase) * strike_envelope(t, attack, fall));
            }
            ratio += dice.between(0.5, 1.3);
            level *= dice.between(0.2, 0.7);
        }
        normalise(s);
        Signal slap = noise_burst(dice, rate, dice.scale(700, 4500), dice.between(0.4, 1.6),
                                  dice.scale(0.0002, 0.0015), dice.scale(0.002, 0.014));
        normalise(slap);
        lay(s, slap, 0, rate, gain_of_db(dice.between(-14, 4) + 8 * (hard - 0.5)));
        if (dice.chance(0.4)) { // a second, brighter layer: palm and fingers
            Signal snap =
                noise_burst(dice, rate, dice.scale(2500, 7000), 0.7, 0.0003, dice.scale(0.001, 0.005));
            normalise(snap);
            lay(s, snap, dice.between(0, 0.0015), rate, gain_of_db(dice.between(-20, -4)));
        }
    } else if (family == BallFamily::thump) {
        const double attack = dice.scale(0.0004, 0.002) + (1 - hard) * dice.between(0.0005, 0.004);
        Signal body = noise_burst(dice, rate, body_hz * dice.between(1, 2), dice.between(0.7, 3), attack,
                                  dice.scale(0.008, 0.05));
        normalise(body);
        lay(s, body, 0, rate, 1);
        Signal slap = noise_burst(dice, rate, dice.scale(600, 5000), dice.between(0.3, 1.2),
                                  dice.scale(0.0002, 0.002), dice.scale(0.002, 0.02));
        normalise(slap);
        lay(s, slap, 0, rate, gain_of_db(dice.between(-10, 6) + 8 * (hard - 0.5)));
    } else {
        const double blow = dice.scale(0.0012, 0.005) * (1.4 - 0.6 * hard);
        for (int mode = 0; mode < 14; ++mode) {
            const double hz = body_hz * (1 + 0.62 * mode + 0.05 * mode * dice.unit());
            if (hz > 0.4 * rate) break;
            const double decay = dice.scale(0.012, 0.045) / (1 + 0.25 * mode);
            const double level = std::pow(mode + 1.0, -dice.between(0.3, 1.3));
            const double turn = 2 * std::numbers::pi * hz;
            for (std::size_t i = 0; i < s.size(); ++i) {
                const double t = static_cast<double>(i) / rate;
                s[i] += static_cast<float>(level * std::sin(turn * t) * strike_envelope(t, blow, decay));
            }
        }
        normalise(s);
        Signal hand(samples_of(0.03, rate));
        const double fall = dice.scale(0.0015, 0.008);
        for (std::size_t i = 0; i < hand.size(); ++i)
            hand[i] = static_cast<float>(dice.noise() *
                                         strike_envelope(static_cast<double>(i) / rate, blow / 3, fall));
        filter(hand, dsp::high_pass(dice.scale(400, 1500), 0.7, rate));
        filter(hand, dsp::low_pass(std::min(0.4 * rate, dice.scale(2500, 9000)), 0.7, rate));
        normalise(hand);
        lay(s, hand, 0, rate, gain_of_db(dice.between(-12, 2) + 6 * (hard - 0.5)));
    }
    normalise(s);
    return s;
}

// Where the camera stands: air and sand dull the sound, walls and stands give it back.
struct Place {
    double dull_hz = 8000;
    std::vector<std::pair<double, double>> returns; // seconds after, gain
    double tail_gain = 0, tail_s = 0.1;
};

inline Place random_place(Dice& dice, bool with_echo) {
    Place place;
    place.dull_hz = dice.scale(1400, 12000);
    for (int i = dice.whole(0, 4); i > 0; --i)
        place.returns.push_back({dice.scale(0.002, 0.045), gain_of_db(dice.between(-20, -6))});
    if (with_echo) place.returns.push_back({dice.between(0.055, 0.160), gain_of_db(dice.between(-18, -6))});
    place.tail_gain = gain_of_db(dice.between(-45, -22));
    place.tail_s = dice.scale(0.04, 0.15);
    return place;
}

inline Signal heard_at(Dice& dice, const Signal& dry, const Place& place, double rate) {
    Signal wet(dry.size() + samples_of(0.17 + 4 * place.tail_s, rate));
    lay(wet, dry, 0, rate, 1);
    for (const auto& [delay, gain] : place.returns) {
        Signal back = dry;
        filter(back, dsp::low_pass(std::min(0.4 * rate, dice.scale(1000, 6000)), 0.7, rate));
        lay(wet, back, delay, rate, gain * (dice.chance(0.5) ? 1 : -1));
    }
    // Diffuse tail: sparse taps of falling level.
    for (double t = dice.wait(0.004); t < 4 * place.tail_s; t += dice.wait(0.004))
        lay(wet, dry, t, rate, place.tail_gain * std::exp(-t / place.tail_s) * (dice.chance(0.5) ? 1 : -1));
    filter(wet, dsp::low_pass(std::min(0.42 * rate, place.dull_hz), 0.6, rate));
    return wet;
}

} // namespace downball::test
