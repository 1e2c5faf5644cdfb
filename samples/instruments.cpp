// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "instruments.h"

#include <array>

namespace downball::sample {
namespace {

std::size_t samples(double seconds) {
    return static_cast<std::size_t>(std::lround(seconds * audio_rate));
}

template <class Voice>
Mono render(double length_s, Voice voice) {
    Mono out(samples(length_s));
    for (std::size_t i = 0; i < out.size(); ++i)
        out[i] = static_cast<float>(voice(static_cast<double>(i) / audio_rate));
    return out;
}

// A low-pass whose corner moves: two one-pole stages, 12 dB an octave.
class Sweep {
  public:
    double operator()(double x, double hz) {
        const double k = 1 - std::exp(-2 * pi * std::min(hz, 18000.0) / audio_rate);
        a_ += k * (x - a_);
        b_ += k * (a_ - b_);
        return b_;
    }

  private:
    double a_ = 0, b_ = 0;
};

// A saw with its step rounded over one sample on either side, so that it hardly aliases.
class Saw {
  public:
    Saw(double hz, double phase) : step_(hz / audio_rate), at_(phase) {}
    double operator()() {
        at_ += step_;
        if (at_ >= 1) at_ -= 1;
        double y = 2 * at_ - 1;
        if (at_ < step_) {
            const double k = at_ / step_;
            y -= k + k - k * k - 1;
        } else if (at_ > 1 - step_) {
            const double k = (at_ - 1) / step_;
            y -= k * k + k + k + 1;
        }
        return y;
    }

  private:
    double step_, at_;
};

double shape(const Tone& tone, double t) {
    return ramp(0, tone.attack_s, t) * (1 - ramp(tone.length_s - 0.012, tone.length_s, t));
}

} // namespace

double hz_of(int midi_note) {
    return 440 * std::pow(2.0, (midi_note - 69) / 12.0);
}

Mono kick_drum() {
    double phase = 0;
    Prng dice(1);
    return render(0.34, [&, low = Filter::high_pass(1500)](double t) mutable {
        phase += 2 * pi * (47 + 160 * std::exp(-t / 0.018) + 45 * std::exp(-t / 0.07)) / audio_rate;
        const double click = low(dice.bipolar()) * std::exp(-t / 0.003) * 0.35;
        return std::tanh(1.6 * std::sin(phase) * std::exp(-t / 0.13)) * (1 - ramp(0.28, 0.34, t)) + click;
    });
}

Mono clap_drum(std::uint64_t seed) {
    Prng dice(seed);
    return render(0.26,
                  [&, band = Filter::band_pass(1350, 0.9), top = Filter::high_pass(700)](double t) mutable {
                      // Three quick hands, then the room.
                      double hands = std::exp(-t / 0.07) * 0.55;
                      for (const double at : {0.0, 0.009, 0.019})
                          if (t >= at) hands += std::exp(-(t - at) / 0.006);
                      return top(band(dice.bipolar())) * hands * 1.5;
                  });
}

Mono snare_drum(std::uint64_t seed) {
    Prng dice(seed);
    double phase = 0;
    return render(0.22, [&, rattle = Filter::high_pass(1300)](double t) mutable {
        phase += 2 * pi * (185 + 60 * std::exp(-t / 0.01)) / audio_rate;
        return 0.6 * std::sin(phase) * std::exp(-t / 0.05) +
               0.55 * rattle(dice.bipolar()) * std::exp(-t / 0.075);
    });
}

Mono hat(bool open, std::uint64_t seed) {
    Prng dice(seed);
    const double decay = open ? 0.11 : 0.024;
    return render(open ? 0.34 : 0.09,
                  [&, top = Filter::high_pass(7200), ring = Filter::band_pass(9800, 2)](double t) mutable {
                      const double n = dice.bipolar();
                      return (top(n) + 0.6 * ring(n)) * std::exp(-t / decay);
                  });
}

Mono crash(std::uint64_t seed) {
    Prng dice(seed);
    return render(2.4,
                  [&, top = Filter::high_pass(3600), ring = Filter::band_pass(5600, 1.2)](double t) mutable {
                      const double n = dice.bipolar();
                      return (top(n) + 0.8 * ring(n)) *
                             (0.7 * std::exp(-t / 0.7) + 0.5 * std::exp(-t / 0.06)) * (1 - ramp(2.1, 2.4, t));
                  });
}

Mono tom(double hz) {
    double phase = 0;
    return render(0.36, [&](double t) {
        phase += 2 * pi * hz * (1 + 0.6 * std::exp(-t / 0.03)) / audio_rate;
        return std::sin(phase) * std::exp(-t / 0.12) * (1 - ramp(0.3, 0.36, t));
    });
}

Mono riser(double length_s, std::uint64_t seed) {
    Prng dice(seed);
    double phase = 0;
    return render(length_s, [&, sweep = Sweep(), low = Filter::high_pass(300)](double t) mutable {
        const double k = t / length_s;
        phase += 2 * pi * 180 * std::pow(6.0, k) / audio_rate;
        const double noise = low(sweep(dice.bipolar(), 500 + 9000 * k * k));
        return (noise * 1.2 + 0.18 * std::sin(phase) * k) * k * k * (1 - ramp(length_s - 0.01, length_s, t));
    });
}

Mono downlifter(double length_s, std::uint64_t seed) {
    Prng dice(seed);
    return render(length_s, [&, sweep = Sweep()](double t) mutable {
        const double k = t / length_s;
        return sweep(dice.bipolar(), 8000 * (1 - k) * (1 - k) + 120) * (1 - k) * (1 - k);
    });
}

Mono saw_stack(const Tone& tone, int saws, std::uint64_t seed) {
    Prng dice(seed);
    std::vector<Saw> all;
    for (int i = 0; i < saws; ++i) {
        const double off = saws > 1 ? 2.0 * i / (saws - 1) - 1 : 0;
        all.emplace_back(hz_of(tone.note) * (1 + tone.detune * off), dice.unit());
    }
    const double level = 1 / std::sqrt(static_cast<double>(saws));
    return render(tone.length_s, [&, sweep = Sweep()](double t) mutable {
        double sum = 0;
        for (Saw& saw : all)
            sum += saw();
        const double fall = std::exp(-t / tone.decay_s);
        return sweep(sum * level, tone.open_hz * (0.25 + 0.75 * fall)) * shape(tone, t) *
               (0.35 + 0.65 * fall);
    });
}

Mono bass_tone(const Tone& tone) {
    Saw saw(hz_of(tone.note), 0);
    double phase = 0;
    return render(tone.length_s, [&, sweep = Sweep()](double t) mutable {
        phase += 2 * pi * hz_of(tone.note) / audio_rate;
        const double fall = std::exp(-t / tone.decay_s);
        return std::tanh(1.5 *
                         (0.75 * std::sin(phase) + 0.75 * sweep(saw(), tone.open_hz * (0.2 + 0.8 * fall)))) *
               shape(tone, t);
    });
}

Mono lead_tone(const Tone& tone) {
    Saw a(hz_of(tone.note), 0.1), b(hz_of(tone.note) * 1.007, 0.6), c(hz_of(tone.note) * 0.5, 0.3);
    return render(tone.length_s, [&, sweep = Sweep()](double t) mutable {
        const double fall = std::exp(-t / tone.decay_s);
        return sweep(0.6 * a() + 0.6 * b() + 0.3 * c(), tone.open_hz * (0.4 + 0.6 * fall)) * shape(tone, t) *
               (0.5 + 0.5 * fall);
    });
}

Mono bell_tone(const Tone& tone) {
    const double hz = hz_of(tone.note);
    return render(tone.length_s, [&](double t) {
        const double modulator = std::sin(2 * pi * hz * 3.01 * t) * 1.6 * std::exp(-t / 0.12);
        return std::sin(2 * pi * hz * t + modulator) * std::exp(-t / tone.decay_s) * shape(tone, t);
    });
}

Stereo hall(const Stereo& dry, double decay) {
    Stereo wet(dry.size());
    constexpr std::array<int, 4> combs{1687, 1949, 2311, 2683};
    constexpr std::array<int, 2> passes{556, 341};
    const auto one_side = [&](const Mono& in, Mono& out, int spread) {
        for (const int comb : combs) {
            Mono line(static_cast<std::size_t>(comb + spread));
            std::size_t at = 0;
            float damp = 0;
            for (std::size_t i = 0; i < in.size(); ++i) {
                const float y = line[at];
                damp += 0.55f * (y - damp);
                line[at] = in[i] + static_cast<float>(decay) * damp;
                at = (at + 1) % line.size();
                out[i] += 0.25f * y;
            }
        }
        for (const int pass : passes) {
            Mono line(static_cast<std::size_t>(pass + spread));
            std::size_t at = 0;
            for (float& x : out) {
                const float y = line[at] - 0.5f * x;
                line[at] = x + 0.5f * y;
                at = (at + 1) % line.size();
                x = y;
            }
        }
    };
    one_side(dry.left, wet.left, 0);
    one_side(dry.right, wet.right, 37);
    return wet;
}

} // namespace downball::sample
