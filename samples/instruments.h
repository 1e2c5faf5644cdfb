// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "synth.h"

#include <cstdint>

namespace downball::sample {

// Studio voices for the song, each a short run of samples from its own start.
double hz_of(int midi_note);

Mono kick_drum();
Mono clap_drum(std::uint64_t seed);
Mono snare_drum(std::uint64_t seed);
Mono hat(bool open, std::uint64_t seed);
Mono crash(std::uint64_t seed);
Mono tom(double hz);
// Noise and a tone that climb for `length_s` and stop dead.
Mono riser(double length_s, std::uint64_t seed);
Mono downlifter(double length_s, std::uint64_t seed);

struct Tone {
    int note = 60;
    double length_s = 0.2;
    double open_hz = 4000; // where the filter starts; it falls towards a quarter of that
    double decay_s = 0.25; // of loudness and filter
    double detune = 0.006; // spread of the saws
    double attack_s = 0.004;
};
Mono saw_stack(const Tone& tone, int saws, std::uint64_t seed);
Mono bass_tone(const Tone& tone);
Mono lead_tone(const Tone& tone);
Mono bell_tone(const Tone& tone);

// A small hall: four combs and two all-passes a side, different lengths left and right.
Stereo hall(const Stereo& dry, double decay);

} // namespace downball::sample
