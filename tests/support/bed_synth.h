// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/contact_synth.h"
#include "support/dice.h"
#include "support/recorded_sounds.h"

#include <functional>

// What else a camera at the beach hears. Each function adds its sound, at an RMS or event level of about 1,
// to all channels; channels get independent noise where the source is wide, the same where it is a point.
namespace downball::test {

// Something short that is no contact, for telling what was mistaken for one.
struct Distraction {
    double seconds;
    const char* kind;
};

struct Channels : std::vector<Signal> {
    using std::vector<Signal>::vector;
    std::vector<Distraction> distractions;
};

inline void add_point(Channels& into, const Signal& s, double at_s, double rate, double gain, Dice& dice,
                      const char* kind = nullptr) {
    if (kind) into.distractions.push_back({at_s, kind});
    const double pan = into.size() < 2 ? 0.5 : dice.between(0.2, 0.8);
    for (std::size_t c = 0; c < into.size(); ++c)
        lay(into[c], s, at_s, rate, gain * (into.size() < 2 ? 1 : 1.4 * (c % 2 == 0 ? 1 - pan : pan)));
}

// A recorded bed from a random place on, at an RMS of `gain`.
inline void add_looped(Channels& into, const Signal& sound, double rate, Dice& dice, double gain) {
    const double seconds = static_cast<double>(into[0].size()) / rate;
    Signal s = played(sound, dice.scale(0.9, 1.1), rate, seconds,
                      dice.unit() * static_cast<double>(sound.size()) / 48000);
    normalise(s); // to energy 1
    add_point(into, s, 0, rate, gain * std::sqrt(static_cast<double>(s.size())), dice);
}

// Recorded short sounds now and then, singly or a few in a row; `gain` is the root of each one's energy.
inline void add_struck(Channels& into, const RecordedSounds& recorded, SoundClass sound_class, double rate,
                       Dice& dice, double gain, double mean_gap_s) {
    const double seconds = static_cast<double>(into[0].size()) / rate;
    const auto* sound = recorded.pick(sound_class, dice);
    for (double t = dice.wait(mean_gap_s); t < seconds; t += dice.wait(mean_gap_s)) {
        const double gap = dice.between(0.18, 0.6);
        for (int i = dice.chance(0.5) ? 1 : dice.whole(2, 7); i > 0; --i, t += gap * dice.between(0.95, 1.05))
            add_point(into, struck(sound->samples, dice.between(0.95, 1.05), rate, 1.0), t, rate,
                      gain * gain_of_db(dice.between(-8, 4)), dice, name_of(sound_class));
    }
}

// A slowly wandering level, 0..1: the mean of two sines of unrelated periods, raised.
inline std::function<double(double)> swell(Dice& dice, double period_s) {
    const double a = dice.between(0, 6.28), b = dice.between(0, 6.28);
    const double slow = period_s * dice.between(0.8, 1.3), fast = period_s * dice.between(0.27, 0.45);
    return [=](double t) {
        const double v = 0.5 + 0.32 * std::sin(6.283 * t / slow + a) + 0.18 * std::sin(6.283 * t / fast + b);
        return v * v;
    };
}

inline void add_surf(Channels& into, double rate, Dice& dice, double gain) {
    const auto level = swell(dice, dice.between(4, 10));
    const double dark_hz = dice.scale(300, 1500), bright_hz = dice.scale(2500, 7000);
    for (Signal& s : into) {
        dsp::Biquad dark(dsp::low_pass(dark_hz, 0.6, rate));
        dsp::Biquad bright(dsp::low_pass(std::min(bright_hz, 0.4 * rate), 0.5, rate));
        const double to_one = std::sqrt(rate / 2 / dark_hz);
        for (std::size_t i = 0; i < s.size(); ++i) {
            const double v = level(static_cast<double>(i) / rate), n = dice.noise();
            s[i] += static_cast<float>(gain * (0.5 * to_one * dark(n) * (0.4 + v) + 0.8 * bright(n) * v));
        }
    }
}

// Wind in the microphone: deep, in gusts, with bumps.
inline void add_wind(Channels& into, double rate, Dice& dice, double gain) {
    const auto slow = swell(dice, dice.between(2, 6));
    const auto fast = swell(dice, dice.between(0.3, 1.2));
    const double corner = dice.scale(50, 180);
    for (Signal& s : into) {
        dsp::Biquad one(dsp::low_pass(corner, 0.7, rate)), two(dsp::low_pass(3 * corner, 0.5, rate));
        const double to_one = std::sqrt(rate / 2 / corner);
        for (std::size_t i = 0; i < s.size(); ++i) {
            const double t = static_cast<double>(i) / rate;
            const double gust = slow(t) * (0.4 + fast(t));
            s[i] +=
                static_cast<float>(gain * 2 * to_one * gust * (one(dice.noise()) + 0.15 * two(dice.noise())));
        }
        for (double t = dice.wait(2); t * rate < static_cast<double>(s.size()); t += dice.wait(2)) {
            Signal bump = noise_burst(dice, rate, dice.scale(30, 110), 1, dice.between(0.008, 0.05),
                                      dice.between(0.03, 0.1));
            normalise(bump);
            lay(s, bump, t, rate, gain * dice.between(5, 40));
            into.distractions.push_back({t, "wind"});
        }
    }
}

// One voice: pulses at a wandering pitch through two formants, in syllables; some begin with a burst.
inline Signal voice(Dice& dice, double rate, double seconds, double pitch_hz, double effort) {
    Signal s(samples_of(seconds, rate));
    double t0 = 0;
    while (t0 < seconds) {
        const double length = dice.between(0.08, 0.35), gap = dice.between(0.01, 0.2);
        const double pitch = pitch_hz * dice.between(0.85, 1.25), bend = dice.between(-0.15, 0.15);
        Signal part(samples_of(length, rate));
        double phase = 0;
        for (std::size_t i = 0; i < part.size(); ++i) {
            const double u = static_cast<double>(i) / static_cast<double>(part.size());
            phase += pitch * (1 + bend * u) / rate;
            double pulse = 0.1 * dice.noise();
            if (phase >= 1) {
                phase -= 1;
                pulse += std::sqrt(rate / pitch);
            }
            part[i] = static_cast<float>(pulse);
        }
        Signal second = part;
        filter(part, dsp::band_pass(dice.scale(300, 850), 5, rate));
        filter(second, dsp::band_pass(dice.scale(1000, 2600), 7, rate));
        const double rise = dice.between(0.012, 0.05);
        for (std::size_t i = 0; i < part.size(); ++i) {
            const double t = static_cast<double>(i) / rate;
            const double envelope = std::min({1.0, t / rise, (length - t) / 0.04});
            part[i] = static_cast<float>(
                envelope * static_cast<double>(part[i] + static_cast<float>(effort) * second[i]));
        }
        lay(s, part, t0, rate, 1.5);
        if (dice.chance(0.3)) {
            Signal burst =
                noise_burst(dice, rate, dice.scale(800, 4000), 1, 0.001, dice.between(0.004, 0.012));
            normalise(burst);
            lay(s, burst, t0 > 0.03 ? t0 - 0.03 : t0, rate, dice.between(1, 6));
        }
        t0 += length + gap;
    }
    return s;
}

inline void add_crowd(Channels& into, double rate, Dice& dice, double gain) {
    const double seconds = static_cast<double>(into[0].size()) / rate;
    const int voices = dice.whole(4, 9);
    const double dull = dice.scale(1500, 5000);
    for (int v = 0; v < voices; ++v) {
        Signal one = voice(dice, rate, seconds, dice.scale(100, 300), dice.between(0.4, 1.2));
        filter(one, dsp::low_pass(std::min(dull, 0.4 * rate), 0.6, rate));
        add_point(into, one, dice.between(-0.3, 0), rate, gain * dice.between(0.4, 1) / std::sqrt(voices),
                  dice);
    }
    for (Signal& s : into) { // the murmur behind, and cheers
        dsp::Biquad band(dsp::band_pass(dice.scale(500, 1200), 0.5, rate));
        const auto level = swell(dice, dice.between(3, 8));
        for (std::size_t i = 0; i < s.size(); ++i)
            s[i] += static_cast<float>(gain * 3 * band(dice.noise()) *
                                       (0.2 + level(static_cast<double>(i) / rate)));
    }
}

inline void add_shouts(Channels& into, double rate, Dice& dice, double gain, double mean_gap_s) {
    const double seconds = static_cast<double>(into[0].size()) / rate;
    for (double t = dice.wait(mean_gap_s); t < seconds; t += dice.wait(mean_gap_s))
        add_point(into, voice(dice, rate, dice.between(0.2, 0.9), dice.scale(150, 400), 1.2), t, rate,
                  gain * gain_of_db(dice.between(-6, 6)), dice, "shout");
}

inline void add_whistles(Channels& into, double rate, Dice& dice, double gain, double mean_gap_s) {
    const double seconds = static_cast<double>(into[0].size()) / rate;
    for (double t = dice.wait(mean_gap_s); t < seconds; t += dice.wait(mean_gap_s)) {
        const double length = dice.between(0.12, 1.1), pitch = dice.scale(2200, 4200),
                     trill = dice.between(18, 60);
        const double depth = dice.between(0.1, 0.9), rise = dice.between(0.003, 0.02);
        Signal s(samples_of(length, rate));
        double phase = 0;
        for (std::size_t i = 0; i < s.size(); ++i) {
            const double u = static_cast<double>(i) / rate, wave = std::sin(6.2832 * trill * u);
            phase += 6.2832 * pitch * (1 + 0.02 * wave) / rate;
            const double envelope =
                std::min({1.0, u / rise, (length - u) / 0.02}) * (1 - depth / 2 * (1 + wave));
            s[i] = static_cast<float>(1.4 * envelope *
                                      (std::sin(phase) + 0.1 * std::sin(2 * phase) + 0.15 * dice.noise()));
        }
        add_point(into, s, t, rate, gain * gain_of_db(dice.between(-6, 8)), dice, "whistle");
    }
}

inline Signal clap(Dice& dice, double rate) {
    Signal s = noise_burst(dice, rate, dice.scale(700, 3000), dice.between(0.8, 2.5),
                           dice.scale(0.0003, 0.002), dice.scale(0.003, 0.014));
    normalise(s);
    return s;
}

// Some hands now and then, a row of people in time, or applause.
inline void add_claps(Channels& into, double rate, Dice& dice, double gain) {
    const double seconds = static_cast<double>(into[0].size()) / rate;
    const double unit = gain * std::sqrt(0.02 * rate);
    for (double t = dice.wait(4); t < seconds; t += dice.wait(4)) {
        const int kind = dice.whole(0, 2);
        if (kind == 0) {
            const int count = dice.whole(1, 7);
            const double gap = dice.between(0.18, 0.45);
            for (int i = 0; i < count; ++i)
                add_point(into, clap(dice, rate), t + i * gap * dice.between(0.95, 1.05), rate,
                          unit * gain_of_db(dice.between(-6, 3)), dice, "clap");
        } else if (kind == 1) {
            const double gap = dice.between(0.35, 0.7);
            for (int i = 0; i < 12; ++i)
                for (int person = dice.whole(3, 9); person > 0; --person)
                    add_point(into, clap(dice, rate), t + i * gap + 0.02 * dice.noise(), rate,
                              unit * gain_of_db(dice.between(-12, -2)), dice, "crowd clap");
        } else {
            const double length = dice.between(1, 5), each = 1 / dice.scale(15, 120);
            for (double u = 0; u < length; u += dice.wait(each))
                add_point(into, clap(dice, rate), t + u, rate,
                          unit * std::sin(3.1416 * u / length) * gain_of_db(dice.between(-18, -4)), dice,
                          "applause");
            t += length;
        }
    }
}

inline void add_steps(Channels& into, double rate, Dice& dice, double gain) {
    const double seconds = static_cast<double>(into[0].size()) / rate;
    for (double t = dice.wait(2); t < seconds; t += dice.wait(3)) {
        const double gap = dice.between(0.22, 0.6);
        for (int i = dice.whole(2, 8); i > 0; --i, t += gap * dice.between(0.9, 1.1)) {
            Signal s = noise_burst(dice, rate, dice.scale(120, 900), 0.6, dice.between(0.006, 0.025),
                                   dice.between(0.015, 0.05));
            normalise(s);
            add_point(into, s, t, rate, gain * std::sqrt(0.05 * rate) * gain_of_db(dice.between(-8, 4)), dice,
                      "step");
        }
    }
}

// Fingers on the camera: a dull knock with ticks, a scrape.
inline void add_handling(Channels& into, double rate, Dice& dice, double gain) {
    const double seconds = static_cast<double>(into[0].size()) / rate;
    for (double t = dice.wait(3); t < seconds; t += dice.wait(5)) {
        for (int i = dice.whole(1, 4); i > 0; --i, t += dice.between(0.03, 0.25)) {
            Signal s = noise_burst(dice, rate, dice.scale(25, 75), 1.5, dice.between(0.002, 0.012),
                                   dice.between(0.02, 0.07));
            normalise(s);
            Signal tick =
                noise_burst(dice, rate, dice.scale(1500, 8000), 0.6, 0.0003, dice.scale(0.0005, 0.003));
            normalise(tick);
            lay(s, tick, dice.between(0, 0.006), rate, gain_of_db(dice.between(-30, -6)));
            add_point(into, s, t, rate, gain * std::sqrt(0.05 * rate) * gain_of_db(dice.between(-4, 10)),
                      dice, "handling");
        }
        if (dice.chance(0.5)) {
            const double length = dice.between(0.1, 0.6);
            for (double u = 0; u < length; u += dice.wait(0.008)) {
                Signal tick =
                    noise_burst(dice, rate, dice.scale(500, 5000), 0.8, 0.0005, dice.scale(0.0005, 0.004));
                normalise(tick);
                add_point(into, tick, t + u, rate,
                          gain * std::sqrt(0.01 * rate) * gain_of_db(dice.between(-20, 0)), dice, "scrape");
            }
        }
    }
}

} // namespace downball::test
