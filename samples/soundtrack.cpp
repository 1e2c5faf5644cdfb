// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "soundtrack.h"

#include "backdrop.h"
#include "voices.h"

namespace downball::sample {

Mono stadium_music(double from_s, double length_s) {
    const auto count = static_cast<std::size_t>(std::lround(length_s * audio_rate));
    Mono out(count);
    // Horn loudspeakers carry neither the lowest nor the highest tones.
    Filter horn_low = Filter::high_pass(110), horn_high = Filter::low_pass(5200);
    Filter snare = Filter::band_pass(1700, 0.8), hat = Filter::high_pass(6000);
    const double beat_s = 60 / stadium_bpm;
    constexpr double roots[4] = {110.0, 130.81, 98.0, 146.83};
    const std::size_t echo = static_cast<std::size_t>(0.043 * audio_rate),
                      late = static_cast<std::size_t>(0.117 * audio_rate);
    Prng dice(0x57AD1u);
    Mono dry(count);
    for (std::size_t i = 0; i < count; ++i) {
        const double at = (from_s + static_cast<double>(i) / audio_rate) / beat_s;
        const double beat = std::floor(at), in_beat = (at - beat) * beat_s;
        const auto number = static_cast<long long>(beat);
        const double root = roots[number / 4 % 4];
        const double kick = std::sin(2 * pi * (48 * in_beat - 9 * std::exp(-in_beat / 0.03) * 0.12)) *
                            std::exp(-in_beat / 0.11);
        const double noise = dice.bipolar();
        const double clap = number % 2 == 1 ? snare(noise) * std::exp(-in_beat / 0.06) : snare(noise) * 0;
        const double half = std::fmod(in_beat, beat_s / 2);
        const double tick = hat(noise) * std::exp(-half / 0.02) * 0.35;
        const double t = at * beat_s;
        const double bass =
            std::tanh(2.5 * std::sin(2 * pi * root * t)) * (std::fmod(at * 2, 1.0) < 0.7 ? 0.4 : 0.0);
        double chord = 0;
        for (const double ratio : {2.0, 2.3784, 2.9966})
            chord += std::sin(2 * pi * root * ratio * t) + 0.4 * std::sin(4 * pi * root * ratio * t);
        chord *= 0.16 * (std::fmod(at * 4, 4.0) > 1.5 && std::fmod(at * 4, 2.0) < 1.2 ? 1 : 0.25);
        dry[i] = static_cast<float>(horn_high(horn_low(0.9 * kick + 0.9 * clap + tick + bass + chord)));
        out[i] = dry[i] + 0.45f * (i >= echo ? dry[i - echo] : 0) + 0.3f * (i >= late ? dry[i - late] : 0);
    }
    return out;
}

namespace {

class Recorder {
  public:
    Recorder(Take& take, const Scenario& scenario)
        : take_(take), scenario_(scenario), dice_(0x50C4Du + static_cast<std::uint64_t>(take.number) * 7919),
          count_(static_cast<std::size_t>(std::lround(take.frames() * double(audio_rate) / take.rate))),
          bed_(count_), hits_(count_) {}

    Stereo record() {
        surf_and_wind();
        crowd();
        if (take_.rally >= 0 && take_.players_shown) play();
        if (take_.music) {
            const Mono tune = stadium_music(take_.clock_s - 0.04, static_cast<double>(count_) / audio_rate);
            add(bed_, tune, 0, 0.030, 0.1);
        }
        measure();
        for (std::size_t i = 0; i < count_; ++i) {
            bed_.left[i] = limit(bed_.left[i] + hits_.left[i]);
            bed_.right[i] = limit(bed_.right[i] + hits_.right[i]);
        }
        return bed_;
    }

  private:
    static float limit(float x) {
        return static_cast<float>(0.95 * std::tanh(static_cast<double>(x) / 0.95));
    }
    Prng child() { return Prng(dice_.next()); }
    std::ptrdiff_t sample_at(double media_s) const { return std::lround(media_s * audio_rate); }
    double flight_s(Vec3 from) const { return length(from - take_.view.eye()) / scenario_.speed_of_sound(); }
    double pan_of(Vec3 from) const {
        const Vec3 v = unit(from - take_.view.eye());
        return std::clamp(dot(v, take_.view.right()) * 1.1, -0.8, 0.8);
    }
    double nearness(Vec3 from) const { return 10 / std::max(2.0, length(from - take_.view.eye())); }
    // A sound made at an instant of the rally.
    void sound(Stereo& into, const Mono& voice, double life_s, Vec3 from, double gain) {
        add(into, voice, sample_at(life_s - take_.start_s + flight_s(from)), gain * nearness(from),
            pan_of(from));
    }

    void surf_and_wind() {
        const double to_sea = std::max(4.0, shore_y - take_.view.eye().y);
        const double surf_gain = 0.075 * std::sqrt(20 / to_sea);
        for (Mono* side : {&bed_.left, &bed_.right}) {
            Prng noise = child();
            Drift swell(0.17, child()), gust(0.6, child()), flutter(7, child());
            Filter body = Filter::low_pass(620), hiss = Filter::band_pass(1900, 0.5),
                   rumble = Filter::low_pass(95), rumble2 = Filter::low_pass(140);
            for (float& x : *side) {
                const double n = noise.bipolar(), w = swell(), g = gust();
                const double surf = (0.8 * body(n) + 0.35 * w * hiss(n)) * (0.35 + 0.65 * w) * surf_gain;
                const double wind = rumble2(rumble(noise.bipolar())) * g * g * (0.5 + 0.5 * flutter()) * 0.38;
                x += static_cast<float>(surf + wind);
            }
        }
    }

    void crowd() {
        const Vec3 stands{0, 9.8, 1.4};
        const double near = std::min(3.0, nearness(stands) * 1.3);
        for (Mono* side : {&bed_.left, &bed_.right}) {
            Prng noise = child();
            struct Voice {
                Filter vowel, second;
                Drift talk, talk2;
            };
            std::vector<Voice> voices;
            for (int i = 0; i < 7; ++i)
                voices.push_back({Filter::band_pass(noise.range(260, 760), 3),
                                  Filter::band_pass(noise.range(900, 1900), 4),
                                  Drift(noise.range(2.5, 6), child()),
                                  Drift(noise.range(0.4, 0.9), child())});
            Filter roar = Filter::band_pass(950, 0.6), shine = Filter::band_pass(2400, 0.9);
            for (std::size_t i = 0; i < side->size(); ++i) {
                const double joy = joy_at(take_, scenario_, static_cast<double>(i) / audio_rate);
                const double n = noise.bipolar();
                double talk = 0;
                for (Voice& v : voices) {
                    const double open = v.talk() * v.talk2();
                    talk += (v.vowel(n) + 0.5 * v.second(n)) * open * open;
                }
                const double cheer = std::max(0.0, joy - 0.3);
                (*side)[i] += static_cast<float>(
                    near * (0.030 * talk * (0.4 + joy) + cheer * cheer * 0.13 * (roar(n) + 0.5 * shine(n))));
            }
        }
        // Single claps and shouts stand out of the noise.
        const double length_s = static_cast<double>(count_) / audio_rate;
        for (double t = 0; t < length_s;) {
            const double joy = joy_at(take_, scenario_, t);
            const double a_second = 0.3 + 70 * std::pow(std::max(0.0, joy - 0.3), 1.5);
            t += -std::log(1 - dice_.unit()) / a_second;
            if (joy < 0.12 || t >= length_s) continue;
            add(bed_, hand_clap(child()), sample_at(t), near * dice_.range(0.2, 1), dice_.bipolar() * 0.6);
            if (dice_.chance(0.05 + 0.04 * joy))
                add(bed_, shout(dice_.range(0.3, 0.8), child()), sample_at(t), near * dice_.range(0.1, 0.45),
                    dice_.bipolar() * 0.6);
        }
    }

    void play() {
        const Rally& rally = scenario_.rallies[static_cast<std::size_t>(take_.rally)];
        const Vec3 referee{0, 5.6, 3};
        sound(bed_, whistle(0.42, child()), -2.4, referee, 0.55);
        sound(bed_, whistle(0.30, child()), rally.down_s + 0.35, referee, 0.55);
        sound(bed_, ball_on_sand(child()), rally.down_s, rally.down, 1);
        for (int p = 0; p < player_count; ++p) {
            const auto& keys = rally.tracks[static_cast<std::size_t>(p)];
            for (std::size_t i = 1; i < keys.size(); ++i) {
                const double run = keys[i].run_m - keys[i - 1].run_m, span = keys[i].at_s - keys[i - 1].at_s;
                const int steps = static_cast<int>(run / 0.85);
                for (int s = 1; s <= steps; ++s) {
                    const double k = s / (steps + 1.0);
                    sound(bed_, footstep(child()), keys[i - 1].at_s + k * span,
                          mix(keys[i - 1].at, keys[i].at, k), 1);
                }
            }
        }
        for (const Contact& c : rally.contacts) {
            const Mono voice = ball_hit(
                c.skill,
                Prng(0x817u + static_cast<std::uint64_t>(rally.script.clock_s * 16 + c.at_s * 1000)));
            const double when = (c.at_s - take_.start_s) + flight_s(c.ball);
            add(hits_, voice, sample_at(when), nearness(c.ball), pan_of(c.ball));
            // The sand gives a dull copy, a little later.
            add(bed_, voice, sample_at(when + 0.0043), 0.10 * nearness(c.ball), pan_of(c.ball));
        }
    }

    void measure() {
        for (TakeContact& c : take_.contacts) {
            const std::ptrdiff_t at = sample_at(c.sound_s);
            const double hit = rms(hits_.left, at, at + audio_rate / 50);
            const double bed = rms(bed_.left, at - audio_rate * 3 / 20, at);
            c.snr_db = 20 * std::log10(std::max(hit, 1e-9) / std::max(bed, 1e-9));
        }
    }

    Take& take_;
    const Scenario& scenario_;
    Prng dice_;
    std::size_t count_;
    Stereo bed_, hits_;
};

} // namespace

Stereo record_sound(Take& take, const Scenario& scenario) {
    return Recorder(take, scenario).record();
}

} // namespace downball::sample
