// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/bed_synth.h"

#include <array>

namespace downball::test {

inline Signal kick(double rate, double low_hz, double decay_s, double click) {
    Signal s(samples_of(5 * decay_s, rate));
    double phase = 0;
    for (std::size_t i = 0; i < s.size(); ++i) {
        const double t = static_cast<double>(i) / rate;
        phase += 6.2832 * (low_hz + 110 * std::exp(-t / 0.018)) / rate;
        s[i] = static_cast<float>(std::sin(phase) * std::exp(-t / decay_s) +
                                  click * std::sin(6.2832 * 1800 * t) * std::exp(-t / 0.003));
    }
    return s;
}

inline Signal snare(Dice& dice, double rate, double tone_hz, double decay_s) {
    Signal s = noise_burst(dice, rate, dice.scale(1200, 3500), 0.4, 0.0007, decay_s);
    for (std::size_t i = 0; i < s.size(); ++i) {
        const double t = static_cast<double>(i) / rate;
        s[i] += static_cast<float>(0.5 * std::sin(6.2832 * tone_hz * t) * std::exp(-t / 0.05));
    }
    return s;
}

// Loudspeakers in the stands: drums in a pattern of sixteenths, bass, chords; dulled and with the place's
// echo. RMS about `gain`. With `recorded`, its drums are played at times.
inline void add_music(Channels& into, double rate, Dice& dice, double gain,
                      const RecordedSounds* recorded = nullptr) {
    const double seconds = static_cast<double>(into[0].size()) / rate;
    const double step = 60 / dice.between(88, 140) / 4;
    std::array<bool, 16> kicks{}, snares{}, hats{};
    const bool four = dice.chance(0.5);
    const int hat_each = dice.chance(0.5) ? 2 : 4;
    for (int i = 0; i < 16; ++i) {
        const auto at = static_cast<std::size_t>(i);
        kicks[at] = four ? i % 4 == 0 : i == 0 || i == 10 || (i != 4 && i != 12 && dice.chance(0.15));
        snares[at] = i == 4 || i == 12 || dice.chance(0.04);
        hats[at] = i % hat_each == 0 || dice.chance(0.1);
    }
    Signal drum = kick(rate, dice.scale(45, 70), dice.between(0.05, 0.16), dice.between(0, 0.4));
    Signal side = snare(dice, rate, dice.scale(160, 240), dice.between(0.03, 0.1));
    const Signal hat =
        noise_burst(dice, rate, dice.scale(6000, 9000), 0.8, 0.0005, dice.between(0.008, 0.05));
    if (recorded && dice.chance(0.6)) {
        for (Signal* of : {&drum, &side}) {
            const auto* sound = recorded->pick(SoundClass::drum, dice);
            if (!sound) continue;
            *of = struck(sound->samples, dice.scale(0.8, 1.25), rate);
            for (float& x : *of)
                x *= static_cast<float>(std::sqrt(0.03 * rate));
        }
    }
    const double drum_db = dice.between(-8, 0), side_db = dice.between(-10, 0),
                 hat_db = dice.between(-22, -8);
    const double pad = dice.between(0.05, 0.25), bass = dice.between(0.1, 0.5);
    const double root = dice.scale(55, 110);

    Signal dry(into[0].size());
    const double start = -dice.between(0, 16) * step;
    double chord = 1;
    for (int n = 0; start + n * step < seconds; ++n) {
        const double t = start + n * step;
        const auto i = static_cast<std::size_t>(n % 16);
        if (kicks[i] || snares[i]) into.distractions.push_back({t, kicks[i] ? "kick" : "snare"});
        if (kicks[i]) lay(dry, drum, t, rate, gain_of_db(drum_db + dice.between(-1, 1)));
        if (snares[i]) lay(dry, side, t, rate, gain_of_db(side_db + dice.between(-1, 1)));
        if (hats[i]) lay(dry, hat, t, rate, gain_of_db(hat_db + dice.between(-3, 3)));
        if (n % 16 == 0) chord = std::pow(2.0, dice.whole(-5, 5) / 12.0);
        if (n % 2 == 0 && dice.chance(0.7)) {
            Signal note(samples_of(step * 2, rate));
            for (std::size_t k = 0; k < note.size(); ++k) {
                const double u = static_cast<double>(k) / rate, f = 6.2832 * root * chord * u;
                const double fade = std::min({1.0, u / 0.008, (2 * step - u) / 0.01});
                note[k] =
                    static_cast<float>(fade * (bass * (std::sin(f) + 0.4 * std::sin(2 * f)) +
                                               pad * (std::sin(4 * f) + std::sin(5 * f) + std::sin(6 * f))));
            }
            lay(dry, note, t, rate, 1);
        }
    }
    filter(dry, dsp::high_pass(dice.scale(50, 110), 0.7, rate));
    filter(dry, dsp::low_pass(std::min(dice.scale(1500, 9000), 0.4 * rate), 0.6, rate));
    Signal wet = dry;
    for (int i = dice.whole(2, 8); i > 0; --i)
        lay(wet, dry, dice.between(0.008, 0.2), rate, gain_of_db(dice.between(-18, -5)));
    double sum = 0;
    for (const float x : wet)
        sum += static_cast<double>(x) * static_cast<double>(x);
    const double rms = std::sqrt(sum / static_cast<double>(wet.size()));
    add_point(into, wet, 0, rate, gain / rms, dice);
}

} // namespace downball::test
