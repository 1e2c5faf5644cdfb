// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/bed_synth.h"
#include "support/contact_synth.h"
#include "support/music_synth.h"
#include "support/recorded_sounds.h"

#include "downball/model/flight_times.h"
#include "downball/model/tags.h"

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
    std::vector<Skill> skills;    // of the contacts
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

// Beds and distractions; of those that were recorded, about half are taken from there.
inline void add_beds(MixedClip& clip, Split split, Dice& dice, const RecordedSounds* recorded) {
    Channels& c = clip.channels;
    const double rate = clip.rate_hz;
    const auto level = [&](double low_db, double high_db) {
        return gain_of_db(dice.between(low_db, high_db));
    };
    const auto from_file = [&](SoundClass sound_class) -> const Signal* {
        if (!recorded || !dice.chance(0.5)) return nullptr;
        const auto* sound = recorded->pick(sound_class, dice);
        return sound ? &sound->samples : nullptr;
    };
    const bool busy = split != Split::clean;
    if (const Signal* s = from_file(SoundClass::surf))
        add_looped(c, *s, rate, dice, level(-10, 0));
    else
        add_surf(c, rate, dice, level(-10, 0));
    add_wind(c, rate, dice, busy ? level(-8, 8) : level(-16, 0));
    if (busy && dice.chance(0.8)) {
        if (const Signal* s = from_file(SoundClass::crowd))
            add_looped(c, *s, rate, dice, level(-12, 2));
        else
            add_crowd(c, rate, dice, level(-12, 2));
    }
    if (dice.chance(0.6)) {
        if (from_file(SoundClass::whistle))
            add_struck(c, *recorded, SoundClass::whistle, rate, dice, 0.35 * level(-6, 6) * std::sqrt(rate),
                       7);
        else
            add_whistles(c, rate, dice, level(-6, 6), 7);
    }
    const double unit = std::sqrt(0.05 * rate);
    if (dice.chance(0.6)) {
        const double gain = busy ? level(-8, 8) : level(-14, 0);
        if (from_file(SoundClass::step))
            add_struck(c, *recorded, SoundClass::step, rate, dice, gain * unit, 1.2);
        else
            add_steps(c, rate, dice, gain);
    }
    if (busy && dice.chance(0.6)) {
        if (const Signal* s = from_file(SoundClass::speech))
            add_looped(c, *s, rate, dice, level(-10, 4));
        else
            add_shouts(c, rate, dice, level(-4, 8), 4);
    }
    if (dice.chance(split == Split::party ? 0.9 : busy ? 0.5 : 0.1)) {
        if (from_file(SoundClass::clap))
            add_struck(c, *recorded, SoundClass::clap, rate, dice, level(-8, 8) * unit, 1.5);
        else
            add_claps(c, rate, dice, level(-8, 8));
    }
    if (busy && dice.chance(0.35)) add_handling(c, rate, dice, level(-4, 8));
    const double music = split == Split::party   ? 1
                         : split == Split::hard  ? 0.4
                         : split == Split::empty ? 0.4
                                                 : 0;
    if (dice.chance(music)) {
        if (const Signal* s = from_file(SoundClass::music))
            add_looped(c, *s, rate, dice, level(-2, 8));
        else
            add_music(c, rate, dice, level(-2, 8), recorded);
    }
}

// How one clip's contacts sound: one ball, made by rule or recorded, at one place.
class Ball {
  public:
    Ball(Dice& dice, double rate, BallFamily family, const RecordedSounds* recorded)
        : dice_(dice), rate_(rate), family_(family), place_(random_place(dice, dice.chance(0.3))),
          body_hz_(dice.scale(90, dice.chance(0.15) ? 420 : 260)) {
        if (family != BallFamily::recorded) return;
        sound_ = recorded->pick(SoundClass::hit, dice);
        speed_ = dice.scale(0.85, 1.18);
    }

    // `hard` 0..1.
    Signal hit(double hard) {
        if (!sound_)
            return heard_at(dice_,
                            ball_hit(dice_, rate_, family_, body_hz_ * dice_.between(0.93, 1.07), hard),
                            place_, rate_);
        Signal s = struck(sound_->samples, speed_ * dice_.between(0.97, 1.03), rate_);
        const double dull_hz = dice_.scale(900, 2500) * std::pow(8, hard);
        filter(s, dsp::low_pass(std::min(0.4 * rate_, dull_hz), 0.6, rate_));
        normalise(s);
        return heard_at(dice_, s, place_, rate_);
    }

  private:
    Dice& dice_;
    double rate_;
    BallFamily family_;
    Place place_;
    double body_hz_;
    const RecordedSounds::Sound* sound_ = nullptr;
    double speed_ = 1;
};

struct Touch {
    double hard_low, hard_high, db_low, db_high;
};

// Harder ones are louder (common practice; the figures have no source).
inline Touch touch_of(Skill skill) {
    switch (skill) {
    case Skill::serve:
    case Skill::attack:
        return {0.6, 1, -1, 5};
    case Skill::block:
        return {0.4, 1, -3, 4};
    case Skill::dig:
        return {0.2, 0.7, -5, 3};
    case Skill::pass:
        return {0.1, 0.7, -5, 2};
    case Skill::set:
        break;
    }
    return {0, 0.5, -7, 1};
}

class Player {
  public:
    Player(MixedClip& clip, Dice& dice, double loudness, double hush_db, BallFamily family,
           const RecordedSounds* recorded)
        : clip_(clip), dice_(dice), loudness_(loudness), hush_db_(hush_db),
          ball_(dice, clip.rate_hz, family, recorded) {}

    void play() {
        const double kind = dice_.unit();
        if (kind < 0.08)
            practice();
        else if (kind < 0.2)
            scattered();
        else if (kind < 0.35)
            rally(dice_.between(0.4, std::max(0.5, last_s() - 1)), dice_.whole(1, 3));
        else
            rallies(kind < 0.55);
    }

  private:
    double last_s() const { return clip_.seconds() - 0.6; }

    void sound(double t, double hard, double db) {
        add_point(clip_.channels, ball_.hit(hard), t, clip_.rate_hz, loudness_ * gain_of_db(db), dice_);
    }
    void touch(double t, Skill skill) {
        const Touch of = touch_of(skill);
        const double hard = dice_.between(of.hard_low, of.hard_high);
        const double hush_db = skill == Skill::set ? hush_db_ : is_hard(skill) ? 0 : hush_db_ / 3;
        sound(t, hard, dice_.between(of.db_low, of.db_high) - hush_db);
    }
    void contact(double t, Skill skill) {
        touch(t, skill);
        clip_.contacts.push_back(t);
        clip_.skills.push_back(skill);
    }

    // Against a wall: equal hits in equal steps, which are no music.
    void practice() {
        const double step = dice_.between(0.45, 1.3), hard = dice_.unit(), spread = dice_.between(0, 2);
        for (double t = dice_.between(0.3, 2); t < last_s(); t += step * dice_.between(0.99, 1.01)) {
            sound(t, hard, dice_.between(-spread, spread));
            clip_.contacts.push_back(t);
            clip_.skills.push_back(hard > 0.5 ? Skill::attack : Skill::pass);
        }
    }
    // Warming up: anything, at any time.
    void scattered() {
        for (double t = dice_.between(0.3, 2); t < last_s(); t += dice_.scale(0.25, 3))
            contact(t, static_cast<Skill>(dice_.whole(0, 5)));
    }
    // Flight times after facts of the trade A2.8-A2.13; single actions are what most takes show.
    void rallies(bool sparse) {
        for (double t = dice_.between(0.4, 2.5); t < last_s();
             t += sparse ? dice_.between(4, 10) : dice_.between(2, 5))
            t = rally(t, sparse ? dice_.whole(1, 2) : dice_.whole(2, 12));
    }
    // Where it ended.
    double rally(double t, int left) {
        Skill now = dice_.chance(0.6) ? Skill::serve : static_cast<Skill>(dice_.whole(0, 5));
        while (t < last_s()) {
            contact(t, now);
            const bool crossed = now == Skill::attack && dice_.chance(0.2);
            if (crossed) // the block's touch is part of the attack's sound
                touch(t + dice_.between(0.02, 0.072), Skill::block);
            if (--left <= 0) break;
            switch (now) {
            case Skill::serve:
                t += dice_.between(0.481, 0.985);
                now = Skill::pass;
                break;
            case Skill::pass:
            case Skill::dig:
                t += dice_.between(0.75, 1.43);
                now = dice_.chance(0.85) ? Skill::set : Skill::attack;
                break;
            case Skill::set:
                t += dice_.between(0.56, 1.43);
                now = Skill::attack;
                break;
            case Skill::attack:
                if (!crossed && dice_.chance(0.06)) { // a slow one, blocked late: two contacts
                    t += dice_.between(0.085, 0.14);
                    now = Skill::block;
                    break;
                }
                t += crossed ? dice_.between(0.15, 1.43) : dice_.between(0.222, 0.455);
                now = Skill::dig;
                break;
            case Skill::block:
                t += dice_.between(0.15, 1.43);
                now = Skill::dig;
                break;
            }
        }
        return t;
    }

    MixedClip& clip_;
    Dice& dice_;
    double loudness_;
    double hush_db_;
    Ball ball_;
};

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

// With `recorded`, about half of the beds and distractions are its; the family `recorded` needs it. Sets are
// `hush_db` softer than they would be, passes and digs a third of that.
inline MixedClip mixed_clip(Split split, std::uint64_t seed, double seconds = 20,
                            BallFamily family = BallFamily::modes, const RecordedSounds* recorded = nullptr,
                            double hush_db = 0) {
    Dice dice(seed * 8 + static_cast<std::uint64_t>(split));
    MixedClip clip;
    clip.rate_hz = dice.chance(0.3) ? 44100 : 48000;
    clip.channels.assign(dice.chance(0.25) ? 1 : 2, Signal(samples_of(seconds, clip.rate_hz)));
    detail::add_beds(clip, split, dice, recorded);
    double rms = 0;
    for (const Signal& s : clip.channels)
        rms = std::max(rms, audible_rms(s, clip.rate_hz));
    constexpr std::array<std::array<double, 2>, 4> snr{{{14, 26}, {3, 18}, {3, 15}, {-3, 6}}};
    if (split != Split::empty) {
        const auto& range = snr[static_cast<std::size_t>(split)];
        clip.snr_db = dice.between(range[0], range[1]);
        // Energy 1 over 40 ms against the bed.
        const double loudness = rms * gain_of_db(clip.snr_db) * std::sqrt(0.04 * clip.rate_hz);
        detail::Player(clip, dice, loudness, hush_db, family, recorded).play();
    }
    detail::record(clip, split, dice);
    return clip;
}

} // namespace downball::test
