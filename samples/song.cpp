// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "song.h"

#include "instruments.h"

#include <array>

namespace downball::sample {

std::vector<SongSection> song_sections() {
    return {{"intro", 0, 4}, {"build", 4, 4},        {"drop", 8, 8},  {"breakdown", 16, 4},
            {"rise", 20, 2}, {"second drop", 22, 8}, {"outro", 30, 8}};
}

int song_bars() {
    return song_sections().back().first_bar + song_sections().back().bars;
}

namespace {

struct Note {
    double step, length; // sixteenths
    int pitch;
};

// One chord a bar: B flat, C, D minor, F; the breakdown goes G minor, B flat, F, C.
struct Chord {
    int root;
    std::array<int, 3> notes;
};
constexpr std::array<Chord, 4> home{
    {{34, {58, 62, 65}}, {36, {60, 64, 67}}, {38, {57, 62, 65}}, {41, {57, 60, 65}}}};
constexpr std::array<Chord, 4> away{
    {{43, {58, 62, 67}}, {34, {58, 62, 65}}, {41, {57, 60, 65}}, {36, {55, 60, 64}}}};

const std::array<std::vector<Note>, 4> tune{
    {{{0, 3, 77}, {3, 3, 74}, {6, 2, 77}, {8, 3, 79}, {11, 3, 77}, {14, 2, 74}},
     {{0, 3, 76}, {3, 3, 72}, {6, 2, 76}, {8, 4, 79}, {12, 2, 76}, {14, 2, 72}},
     {{0, 3, 77}, {3, 3, 74}, {6, 2, 77}, {8, 3, 81}, {11, 3, 79}, {14, 2, 77}},
     {{0, 3, 77}, {3, 3, 72}, {6, 2, 69}, {8, 5, 72}, {14, 2, 74}}}};
// The answer in the second drop, a third higher and busier at the end.
const std::array<std::vector<Note>, 4> answer{
    {{{0, 3, 81}, {3, 3, 77}, {6, 2, 81}, {8, 3, 82}, {11, 3, 81}, {14, 2, 77}},
     {{0, 3, 79}, {3, 3, 76}, {6, 2, 79}, {8, 3, 84}, {11, 3, 82}, {14, 2, 79}},
     {{0, 3, 81}, {3, 3, 77}, {6, 2, 81}, {8, 3, 86}, {11, 3, 84}, {14, 2, 81}},
     {{0, 2, 81}, {2, 2, 79}, {4, 2, 77}, {6, 2, 72}, {8, 2, 77}, {10, 2, 79}, {12, 4, 77}}}};
const std::array<std::vector<Note>, 4> far_song{{{{0, 6, 74}, {8, 4, 70}, {12, 4, 74}},
                                                 {{0, 6, 77}, {8, 8, 74}},
                                                 {{0, 6, 72}, {8, 4, 69}, {12, 4, 72}},
                                                 {{0, 8, 76}, {8, 8, 79}}}};

class Band {
  public:
    Band()
        : count_(static_cast<std::size_t>((song_beat_s(4.0 * song_bars()) + 3.0) * audio_rate)),
          drums_(count_), music_(count_), air_(count_) {}

    Stereo play() {
        for (const SongSection& s : song_sections())
            for (int bar = s.first_bar; bar < s.first_bar + s.bars; ++bar)
                play_bar(s, bar);
        last_hit();
        return mix_down();
    }

  private:
    double step_s(int bar, double step) const { return song_beat_s(4.0 * bar + step / 4); }
    std::ptrdiff_t sample(double s) const { return std::lround(s * audio_rate); }
    double sixteenth_s() const { return 15 / song_bpm; }
    std::uint64_t seed() { return ++seed_; }

    void kick(int bar, double step, double gain = 0.85) {
        const std::ptrdiff_t at = sample(step_s(bar, step));
        add(drums_, kick_, at, gain);
        kicks_.push_back(at);
    }
    void drum(const Mono& voice, int bar, double step, double gain, double pan = 0) {
        add(drums_, voice, sample(step_s(bar, step)), gain, pan);
    }
    void chord(int bar, double step, double length, const Chord& c, double open_hz, double gain,
               double decay_s) {
        for (std::size_t i = 0; i < 3; ++i) {
            const Tone tone{c.notes[i], length * sixteenth_s(), open_hz, decay_s, 0.008, 0.005};
            const Mono voice = saw_stack(tone, 5, seed());
            add(music_, voice, sample(step_s(bar, step)), gain, -0.5 + 0.5 * static_cast<double>(i));
            add(air_, voice, sample(step_s(bar, step)), gain * 0.35, 0.5 - 0.5 * static_cast<double>(i));
        }
    }
    // The chord again an octave up, thin and bright.
    void sheen(int bar, double step, const Chord& c, double gain) {
        for (std::size_t i = 0; i < 3; ++i) {
            const Tone tone{c.notes[i] + 12, 1.6 * sixteenth_s(), 15000, 0.14, 0.012, 0.003};
            const Mono voice = saw_stack(tone, 3, seed());
            add(music_, voice, sample(step_s(bar, step)), gain, 0.8 - 0.8 * static_cast<double>(i));
            add(air_, voice, sample(step_s(bar, step)), gain * 0.5, 0.8 * static_cast<double>(i) - 0.8);
        }
    }
    void bass(int bar, const Chord& c, bool full) {
        // Off the kick, with an octave jump before the bar ends.
        constexpr std::array<Note, 7> line{{{2, 1.8, 0},
                                            {4, 0.9, 0},
                                            {6, 1.8, 0},
                                            {8.0, 0.9, 0},
                                            {10, 1.8, 0},
                                            {13, 0.9, 12},
                                            {14, 1.8, 0}}};
        for (const Note& n : line) {
            if (!full && n.step != 2 && n.step != 6 && n.step != 10 && n.step != 14) continue;
            add(music_,
                bass_tone(
                    {c.root + n.pitch, n.length * sixteenth_s(), full ? 1500.0 : 700.0, 0.09, 0, 0.003}),
                sample(step_s(bar, n.step)), full ? 0.42 : 0.26);
        }
    }
    void melody(int bar, const std::vector<Note>& notes, double gain, double open_hz, bool bell) {
        for (const Note& n : notes) {
            const Tone tone{n.pitch, (bell ? n.length + 3 : n.length * 0.94) * sixteenth_s(),
                            open_hz, bell ? 0.5 : 0.3,
                            0,       0.004};
            const Mono voice = bell ? bell_tone(tone) : lead_tone(tone);
            const std::ptrdiff_t at = sample(step_s(bar, n.step));
            add(music_, voice, at, gain, 0.08);
            add(air_, voice, at, gain * 0.5, -0.1);
            // Dotted-eighth echoes to either side.
            for (int echo = 1; echo <= 3; ++echo)
                add(music_, voice, at + sample(3.0 * echo * sixteenth_s()), gain * std::pow(0.42, echo),
                    echo % 2 == 1 ? -0.7 : 0.7);
        }
    }
    void hats(int bar, bool busy) {
        for (int step = 0; step < 16; ++step) {
            if (step % 4 == 2)
                drum(hat(true, seed()), bar, step, 0.27, 0.2);
            else if (busy || step % 2 == 0)
                drum(hat(false, seed()), bar, step, step % 4 == 0 ? 0.20 : 0.13, step % 2 == 0 ? -0.25 : 0.3);
        }
    }
    void groove(int bar, bool busy, double weight) {
        for (int beat = 0; beat < 4; ++beat)
            kick(bar, beat * 4, weight);
        for (const int step : {4, 12})
            drum(clap_drum(seed()), bar, step, 0.75 * weight, 0.05);
        hats(bar, busy);
    }
    void play_bar(const SongSection& section, int bar);
    void last_hit();
    Stereo mix_down();

    std::size_t count_;
    Stereo drums_, music_, air_;
    Mono kick_ = kick_drum();
    std::vector<std::ptrdiff_t> kicks_;
    std::uint64_t seed_ = 0x50;
};

void Band::play_bar(const SongSection& section, int bar) {
    const int k = bar - section.first_bar;
    const auto of = [&](const auto& four) -> const auto& {
        return four[static_cast<std::size_t>(k % 4)];
    };
    const Chord& c = of(home);
    if (section.name == "intro") {
        for (const double step : {0.0, 3.0, 6.0, 8.0, 11.0, 14.0})
            chord(bar, step, 2, c, 700 + 380 * k + 25 * step, 0.13, 0.16);
        for (int beat = 0; beat < 4; ++beat)
            kick(bar, beat * 4, 0.62);
        if (k >= 2) hats(bar, false);
        if (k == 3)
            for (const double step : {12.0, 13.0, 14.0, 15.0})
                drum(tom(170 - 12 * (step - 12)), bar, step, 0.35, 0.3 * (step - 13.5));
    } else if (section.name == "build") {
        groove(bar, false, 0.62);
        bass(bar, c, false);
        for (const double step : {0.0, 3.0, 6.0, 8.0, 11.0, 14.0})
            chord(bar, step, 2, c, 1800 + 900 * k, 0.12, 0.18);
        if (k == 0) drum(crash(seed()), bar, 0, 0.28);
        if (k >= 2)
            add(air_, riser(song_beat_s(4) - song_beat_s(0), seed()), sample(step_s(bar, 0)),
                0.10 + 0.08 * (k - 2));
        if (k == 3)
            for (int step = 0; step < 14; ++step)
                if (step >= 8 || step % 2 == 0)
                    drum(snare_drum(seed()), bar, step, 0.16 + 0.022 * step, step % 2 == 0 ? -0.15 : 0.15);
    } else if (section.name == "drop" || section.name == "second drop") {
        const bool second = section.name == "second drop";
        groove(bar, true, 0.9);
        bass(bar, c, true);
        for (const double step : {0.0, 3.0, 6.0, 8.0, 11.0, 14.0}) {
            chord(bar, step, 2.4, c, second ? 12000 : 10000, 0.24, 0.26);
            sheen(bar, step, c, second ? 0.13 : 0.10);
        }
        melody(bar, second && k >= 4 ? of(answer) : of(tune), 0.25, second ? 11000 : 9000, false);
        if (second) melody(bar, of(tune), 0.06, 0, true);
        if (k % 4 == 0) drum(crash(seed()), bar, 0, k == 0 ? 0.45 : 0.25);
        if (k == 0) add(air_, downlifter(1.9, seed()), sample(step_s(bar, 0)), 0.12);
        if (k % 4 == 3)
            for (const double step : {13.0, 14.0, 15.0})
                drum(snare_drum(seed()), bar, step, 0.28 + 0.05 * (step - 13));
    } else if (section.name == "breakdown") {
        const Chord& soft = of(away);
        chord(bar, 0, 15.5, soft, 1300 + 250 * k, 0.13, 1.6);
        add(music_, bass_tone({soft.root, 14 * sixteenth_s(), 300, 1.0, 0, 0.02}), sample(step_s(bar, 0)),
            0.30);
        melody(bar, of(far_song), 0.24, 0, true);
        // A rim and a soft hat keep the pulse.
        for (const int step : {4, 12})
            drum(tom(420), bar, step, 0.13, 0.3);
        for (int step = 0; step < 16; step += 2)
            drum(hat(false, seed()), bar, step, 0.05, -0.3);
        if (k == 0) drum(crash(seed()), bar, 0, 0.22);
    } else if (section.name == "rise") {
        const Chord& soft = k == 0 ? home[2] : home[1];
        for (int step = 0; step < (k == 0 ? 16 : 14); step += 2)
            chord(bar, step, 1.6, soft, 1200 + 2600 * k + 260 * step, 0.13, 0.2);
        for (int step = 0; step < (k == 0 ? 16 : 14); ++step)
            if (k == 1 || step % 2 == 0)
                drum(snare_drum(seed()), bar, step, 0.13 + 0.016 * (step + 16 * k) * 0.7, 0.1);
        if (k == 0)
            for (int beat = 0; beat < 4; ++beat)
                kick(bar, beat * 4, 0.5);
        if (k == 0)
            add(air_, riser(2 * (song_beat_s(4) - song_beat_s(0)) - 0.24, seed()), sample(step_s(bar, 0)),
                0.26);
    } else {
        if (k < 6)
            groove(bar, false, 0.75 - 0.03 * k);
        else
            for (int beat = 0; beat < 4; ++beat)
                kick(bar, beat * 4, 0.7);
        if (k < 4) bass(bar, c, false);
        for (const double step : {0.0, 3.0, 6.0, 8.0, 11.0, 14.0})
            chord(bar, step, 2, c, 3400 - 380 * k, 0.15 - 0.01 * k, 0.18);
        if (k % 2 == 0 && k < 6) melody(bar, of(tune), 0.12, 0, true);
        if (k == 0) drum(crash(seed()), bar, 0, 0.35);
    }
}

void Band::last_hit() {
    const int bar = song_bars();
    kick(bar, 0, 0.7);
    drum(crash(seed()), bar, 0, 0.35);
    chord(bar, 0, 20, home[2], 3000, 0.15, 0.9);
    add(music_, bass_tone({38, 1.6, 700, 0.5, 0, 0.004}), sample(step_s(bar, 0)), 0.3);
}

Stereo Band::mix_down() {
    // Everything but the drums gives way to the kick.
    std::size_t next = 0;
    std::ptrdiff_t last = -audio_rate;
    for (std::size_t i = 0; i < count_; ++i) {
        while (next < kicks_.size() && kicks_[next] <= static_cast<std::ptrdiff_t>(i))
            last = kicks_[next++];
        const double since = static_cast<double>(static_cast<std::ptrdiff_t>(i) - last) / audio_rate;
        const auto duck = static_cast<float>(1 - 0.62 * std::exp(-since / 0.085) * ramp(0.34, 0.30, since));
        music_.left[i] *= duck;
        music_.right[i] *= duck;
        air_.left[i] *= duck;
        air_.right[i] *= duck;
    }
    const Stereo room = hall(air_, 0.80);
    Stereo out(count_);
    const auto blend = [&](Mono& to, const Mono& d, const Mono& m, const Mono& a, const Mono& r) {
        for (std::size_t i = 0; i < count_; ++i) {
            const double sum = 1.0 * d[i] + 0.95 * m[i] + 0.35 * a[i] + 0.55 * r[i];
            const double end = 1 - ramp(static_cast<double>(count_) - 1.2 * audio_rate,
                                        static_cast<double>(count_) - 10, static_cast<double>(i));
            to[i] = static_cast<float>(std::tanh(0.95 * sum) * end);
        }
    };
    blend(out.left, drums_.left, music_.left, air_.left, room.left);
    blend(out.right, drums_.right, music_.right, air_.right, room.right);
    const double peak = std::max(true_peak(out.left), true_peak(out.right));
    const auto gain = static_cast<float>(std::pow(10, -1.0 / 20) / peak);
    for (Mono* side : {&out.left, &out.right})
        for (float& x : *side)
            x *= gain;
    return out;
}

} // namespace

Stereo make_song() {
    return Band().play();
}

} // namespace downball::sample
