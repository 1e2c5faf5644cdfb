// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/bed_synth.h"
#include "support/contact_synth.h"
#include "support/music_synth.h"

#include <array>
#include <cstdint>
#include <string>
#include <vector>

// Mixed clips with known contacts, for tests and for the bench: the same seed gives the same clip.
namespace downball::test {

enum class Split { clean, beach, party, hard, empty };
inline constexpr std::array<Split, 5> all_splits{Split::clean, Split::beach, Split::party, Split::hard,
                                                 Split::empty};

inline const char* name_of(Split split) {
    constexpr std::array<const char*, 5> names{"clean", "beach", "party", "hard", "empty"};
    return names[static_cast<std::size_t>(split)];
}

struct MixedClip {
    int rate_hz = 48000;
    Channels channels;
    std::vector<double> contacts; // seconds; a block touch right after its attack is no contact of its own
    double snr_db = 0;
    double seconds() const { return static_cast<double>(channels[0].size()) / rate_hz; }
};

// Root mean square above 100 Hz: wind below it hides no contact.
inline double audible_rms(const Signal& s, double rate) {
    dsp::Biquad cut(dsp::high_pass(100, 0.7, rate));
    double sum = 0;
    for (const float x : s) {
        const double y = cut(static_cast<double>(x));
        sum += y * y;
    }
    return std::sqrt(sum / static_cast<double>(std::max<std::size_t>(1, s.size())));
}

namespace detail {

inline void add_beds(MixedClip& clip, Split split, Dice& dice) {
    Channels& c = clip.channels;
    const double rate = clip.rate_hz;
    const auto level = [&](double low_db, double high_db) {
        return gain_of_db(dice.between(low_db, high_db));
    };
    const bool busy = split != Split::clean;
    add_surf(c, rate, dice, level(-10, 0));
    add_wind(c, rate, dice, busy ? level(-8, 8) : level(-16, 0));
    if (busy && dice.chance(0.8)) add_crowd(c, rate, dice, level(-12, 2));
    if (dice.chance(0.6)) add_whistles(c, rate, dice, level(-6, 6), 7);
    if (dice.chance(0.6)) add_steps(c, rate, dice, busy ? level(-8, 8) : level(-14, 0));
    if (busy && dice.chance(0.6)) add_shouts(c, rate, dice, level(-4, 8), 4);
    if (dice.chance(split == Split::party ? 0.9 : busy ? 0.5 : 0.1)) add_claps(c, rate, dice, level(-8, 8));
    if (busy && dice.chance(0.35)) add_handling(c, rate, dice, level(-4, 8));
    const double music = split == Split::party   ? 1
                         : split == Split::hard  ? 0.4
                         : split == Split::empty ? 0.4
                                                 : 0;
    if (dice.chance(music)) add_music(c, rate, dice, level(-2, 8));
}

// Serve, pass, set, attack and what comes back, in rallies; flight times after facts of the trade A2.8-A2.13.
inline void add_contacts(MixedClip& clip, Dice& dice, double loudness, BallFamily family) {
    const double rate = clip.rate_hz, seconds = clip.seconds();
    const bool echo = dice.chance(0.3);
    const Place place = random_place(dice, echo);
    const double body_hz = dice.scale(90, dice.chance(0.15) ? 420 : 260);
    const auto hit = [&](double t, double hard, double db) {
        Signal s = heard_at(dice, ball_hit(dice, rate, family, body_hz * dice.between(0.93, 1.07), hard),
                            place, rate);
        add_point(clip.channels, s, t, rate, loudness * gain_of_db(db), dice);
    };
    if (dice.chance(0.08)) { // practice against a wall: equal hits in equal steps, which are no music
        const double step = dice.between(0.45, 1.3), hard = dice.unit(), spread = dice.between(0, 2);
        for (double t = dice.between(0.3, 2); t < seconds - 0.6; t += step * dice.between(0.99, 1.01)) {
            hit(t, hard, dice.between(-spread, spread));
            clip.contacts.push_back(t);
        }
        return;
    }
    const bool sparse = dice.chance(0.25); // single actions, as most takes show them
    for (double t = dice.between(0.4, 2.5); t < seconds - 0.6;
         t += sparse ? dice.between(4, 10) : dice.between(2, 5)) {
        int in_side = 0;
        for (int left = dice.whole(1, sparse ? 2 : 9); left > 0 && t < seconds - 0.6; --left) {
            const bool strong = in_side == 0 ? left > 5 : in_side == 3;
            hit(t, strong ? dice.between(0.6, 1) : dice.between(0, 0.7),
                strong ? dice.between(-1, 5) : dice.between(-5, 2));
            clip.contacts.push_back(t);
            if (strong && dice.chance(0.2)) {
                const double after = dice.between(0.02, 0.072);
                hit(t + after, dice.between(0.3, 1), dice.between(-4, 3));
            }
            t += strong ? dice.between(0.15, 0.8) : dice.between(0.55, 1.6);
            in_side = (in_side + 1) % 4;
        }
    }
}

// What recorders do: a limiter that pumps, a preamplifier driven too hard, a channel the wrong way round.
inline void record(MixedClip& clip, Split split, Dice& dice) {
    const double rate = clip.rate_hz;
    float top = 0;
    for (const Signal& s : clip.channels)
        for (const float x : s)
            top = std::max(top, std::abs(x));
    const auto gain = static_cast<float>(gain_of_db(dice.between(-12, -1))) / top;
    const bool limited = split != Split::clean && dice.chance(0.25);
    const bool driven = split != Split::clean && dice.chance(split == Split::hard ? 0.3 : 0.1);
    const double release = dice.between(0.1, 0.7), threshold = dice.between(0.05, 0.3);
    const auto drive = static_cast<float>(driven ? gain_of_db(dice.between(6, 14)) : 1);
    double held = 0;
    for (std::size_t i = 0; i < clip.channels[0].size(); ++i) {
        float now = 0;
        for (Signal& s : clip.channels)
            now = std::max(now, std::abs(s[i] *= gain));
        held = std::max(static_cast<double>(now), held * std::exp(-1 / (release * rate)));
        const auto pressed =
            static_cast<float>(limited && held > threshold ? std::pow(threshold / held, 0.7) : 1);
        for (Signal& s : clip.channels) {
            const float x = std::clamp(s[i] * pressed * drive, -1.0f, 1.0f);
            s[i] = std::round(x * 32767.0f) / 32768.0f;
        }
    }
    if (clip.channels.size() > 1 && dice.chance(0.2))
        for (float& x : clip.channels[1])
            x = -x;
}

} // namespace detail

inline MixedClip mixed_clip(Split split, std::uint64_t seed, double seconds = 20,
                            BallFamily family = BallFamily::modes) {
    Dice dice(seed * 8 + static_cast<std::uint64_t>(split));
    MixedClip clip;
    clip.rate_hz = dice.chance(0.3) ? 44100 : 48000;
    clip.channels.assign(dice.chance(0.25) ? 1 : 2, Signal(samples_of(seconds, clip.rate_hz)));
    detail::add_beds(clip, split, dice);
    double rms = 0;
    for (const Signal& s : clip.channels)
        rms = std::max(rms, audible_rms(s, clip.rate_hz));
    constexpr std::array<std::array<double, 2>, 4> snr{{{14, 26}, {3, 18}, {3, 15}, {-3, 6}}};
    if (split != Split::empty) {
        const auto& range = snr[static_cast<std::size_t>(split)];
        clip.snr_db = dice.between(range[0], range[1]);
        // Energy 1 over 40 ms against the bed.
        const double loudness = rms * gain_of_db(clip.snr_db) * std::sqrt(0.04 * clip.rate_hz);
        detail::add_contacts(clip, dice, loudness, family);
    }
    detail::record(clip, split, dice);
    return clip;
}

} // namespace downball::test
