// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "voices.h"

namespace downball::sample {
namespace {

std::size_t samples(double seconds) {
    return static_cast<std::size_t>(std::lround(seconds * audio_rate));
}

struct Hit {
    double level;                 // of the whole
    double body_hz, body_decay_s; // the ball's own tone, falling a little in pitch
    double slap, slap_decay_s;    // skin on ball
    double low_hz, high_hz;       // band of the slap
    double rise_s;
};

// A palm is bright and short; forearms are duller; fingers give hardly any slap.
Hit hit_of(Skill skill) {
    switch (skill) {
    case Skill::attack:
        return {0.62, 172, 0.050, 1.00, 0.011, 700, 6500, 0.0006};
    case Skill::serve:
        return {0.55, 166, 0.052, 0.90, 0.012, 650, 6000, 0.0007};
    case Skill::block:
        return {0.36, 150, 0.045, 0.85, 0.012, 600, 5200, 0.0008};
    case Skill::pass:
        return {0.19, 142, 0.062, 0.55, 0.013, 450, 3600, 0.0012};
    case Skill::dig:
        return {0.22, 138, 0.058, 0.62, 0.013, 450, 3800, 0.0011};
    case Skill::set:
        break;
    }
    return {0.045, 180, 0.030, 0.60, 0.009, 600, 3000, 0.0016};
}

} // namespace

Mono ball_hit(Skill skill, Prng dice) {
    Hit h = hit_of(skill);
    h.level *= dice.range(0.82, 1.15);
    h.body_hz *= dice.range(0.93, 1.08);
    Mono out(samples(0.32));
    Filter high = Filter::high_pass(h.low_hz), low = Filter::low_pass(h.high_hz),
           skin = Filter::band_pass(h.body_hz * 5.2, 1.5);
    double phase = 0, second = 0;
    for (std::size_t i = 0; i < out.size(); ++i) {
        const double t = static_cast<double>(i) / audio_rate;
        const double rise = std::min(1.0, t / h.rise_s);
        const double hz = h.body_hz * (1 + 0.35 * std::exp(-t / 0.012));
        phase += 2 * pi * hz / audio_rate;
        second += 2 * pi * hz * 2.31 / audio_rate;
        const double body = std::sin(phase) * std::exp(-t / h.body_decay_s) +
                            0.35 * std::sin(second) * std::exp(-t / (h.body_decay_s * 0.5));
        const double noise = dice.bipolar();
        const double slap =
            low(high(noise)) * std::exp(-t / h.slap_decay_s) * 1.9 + skin(noise) * std::exp(-t / 0.02) * 1.1;
        out[i] = static_cast<float>(h.level * rise * (0.62 * body + h.slap * slap));
    }
    return out;
}

Mono ball_on_sand(Prng dice) {
    Mono out(samples(0.28));
    Filter low = Filter::low_pass(520);
    double phase = 0;
    for (std::size_t i = 0; i < out.size(); ++i) {
        const double t = static_cast<double>(i) / audio_rate;
        phase += 2 * pi * (74 + 30 * std::exp(-t / 0.02)) / audio_rate;
        const double rise = ramp(0, 0.007, t);
        out[i] = static_cast<float>(rise * (0.14 * std::sin(phase) * std::exp(-t / 0.05) +
                                            0.16 * low(dice.bipolar()) * std::exp(-t / 0.045)));
    }
    return out;
}

Mono footstep(Prng dice) {
    Mono out(samples(0.16));
    Filter band = Filter::band_pass(dice.range(420, 900), 0.7);
    const double level = dice.range(0.5, 1) * 0.05;
    for (std::size_t i = 0; i < out.size(); ++i) {
        const double t = static_cast<double>(i) / audio_rate;
        out[i] = static_cast<float>(level * band(dice.bipolar()) * ramp(0, 0.025, t) * std::exp(-t / 0.035));
    }
    return out;
}

Mono hand_clap(Prng dice) {
    Mono out(samples(0.07));
    Filter band = Filter::band_pass(dice.range(900, 2300), 1.1);
    const double level = dice.range(0.3, 1) * 0.09, decay = dice.range(0.005, 0.010);
    for (std::size_t i = 0; i < out.size(); ++i) {
        const double t = static_cast<double>(i) / audio_rate;
        out[i] = static_cast<float>(level * band(dice.bipolar()) * std::min(1.0, t / 0.0008) *
                                    std::exp(-t / decay));
    }
    return out;
}

// Two close tones and a pea that chops them.
Mono whistle(double length_s, Prng dice) {
    Mono out(samples(length_s + 0.05));
    Filter breath = Filter::band_pass(3000, 3);
    double a = 0, b = 0;
    const double pea_hz = dice.range(34, 41);
    for (std::size_t i = 0; i < out.size(); ++i) {
        const double t = static_cast<double>(i) / audio_rate;
        const double bend = 1 - 0.06 * std::exp(-t / 0.03);
        const double pea = 0.62 + 0.38 * std::sin(2 * pi * pea_hz * t);
        a += 2 * pi * 2790 * bend * (1 + 0.012 * pea) / audio_rate;
        b += 2 * pi * 2930 * bend * (1 + 0.012 * pea) / audio_rate;
        const double shape = ramp(0, 0.025, t) * (1 - ramp(length_s - 0.03, length_s, t));
        out[i] = static_cast<float>(
            0.20 * shape * pea *
            (std::sin(a) + 0.7 * std::sin(b) + 0.3 * std::sin(2 * a) + 0.25 * breath(dice.bipolar())));
    }
    return out;
}

// A vowel on a falling pitch.
Mono shout(double length_s, Prng dice) {
    Mono out(samples(length_s));
    const double pitch = dice.range(180, 330);
    Filter first = Filter::band_pass(dice.range(520, 800), 4),
           second = Filter::band_pass(dice.range(1050, 1600), 6);
    double phase = 0;
    for (std::size_t i = 0; i < out.size(); ++i) {
        const double t = static_cast<double>(i) / audio_rate, k = t / length_s;
        phase += pitch * (1.12 - 0.3 * k * k + 0.01 * std::sin(2 * pi * 5.5 * t)) / audio_rate;
        phase -= std::floor(phase);
        const double buzz = 1 - 2 * phase;
        const double shape = ramp(0, 0.06, t) * (1 - ramp(0.6, 1, k));
        out[i] =
            static_cast<float>(0.10 * shape * (first(buzz) + 0.7 * second(buzz) + 0.04 * dice.bipolar()));
    }
    return out;
}

} // namespace downball::sample
