// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/contact_synth.h"

#include <array>
#include <cstddef>
#include <string>
#include <vector>

// Sounds from files, for mixed clips. Whoever loads them cuts each short one at its onset.
namespace downball::test {

// `blow`: hits of another shape than a struck ball's; no mixed clip plays them unless they are given as hits.
enum class SoundClass { hit, clap, whistle, crowd, surf, speech, step, drum, music, blow };
inline constexpr std::array<SoundClass, 10> all_sound_classes{
    SoundClass::hit,    SoundClass::clap, SoundClass::whistle, SoundClass::crowd, SoundClass::surf,
    SoundClass::speech, SoundClass::step, SoundClass::drum,    SoundClass::music, SoundClass::blow};

inline const char* name_of(SoundClass sound_class) {
    constexpr std::array<const char*, all_sound_classes.size()> names{
        "hit", "clap", "whistle", "crowd", "surf", "speech", "step", "drum", "music", "blow"};
    return names[static_cast<std::size_t>(sound_class)];
}

struct RecordedSounds {
    struct Sound {
        std::string name;
        Signal samples; // at 48 kHz
    };
    std::array<std::vector<Sound>, all_sound_classes.size()> by_class;

    const std::vector<Sound>& of(SoundClass sound_class) const {
        return by_class[static_cast<std::size_t>(sound_class)];
    }
    // One of the class; null if there is none.
    const Sound* pick(SoundClass sound_class, Dice& dice) const {
        const auto& sounds = of(sound_class);
        if (sounds.empty()) return nullptr;
        return &sounds[static_cast<std::size_t>(dice.whole(0, static_cast<int>(sounds.size()) - 1))];
    }
};

// Played faster or slower, at most `seconds` of it, from `from_s` on; over the end it goes on at the start.
inline Signal played(const Signal& sound, double speed, double rate, double seconds, double from_s = 0) {
    const double step = speed * 48000 / rate;
    const auto whole = static_cast<double>(sound.size());
    Signal out(samples_of(seconds, rate));
    double at = std::fmod(from_s * 48000, whole);
    for (float& x : out) {
        const auto i = static_cast<std::size_t>(at);
        const auto share = static_cast<float>(at - static_cast<double>(i));
        x = (1 - share) * sound[i] + share * sound[(i + 1) % sound.size()];
        at += step;
        if (at >= whole) at -= whole;
    }
    return out;
}

// The same for a short sound, to its end, normalised to energy 1.
inline Signal struck(const Signal& sound, double speed, double rate, double longest_s = 0.35) {
    const double length_s = static_cast<double>(sound.size()) / 48000 / speed;
    const double kept_s = std::min(longest_s, length_s);
    Signal s = played(sound, speed, rate, std::max(0.0, kept_s - 0.001));
    if (kept_s < length_s) { // cut short: let it die away
        const std::size_t fade = std::min(s.size(), samples_of(0.05, rate));
        for (std::size_t i = 0; i < fade; ++i)
            s[s.size() - 1 - i] *= static_cast<float>(i) / static_cast<float>(fade);
    }
    normalise(s);
    return s;
}

} // namespace downball::test
