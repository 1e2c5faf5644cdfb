// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/onset_strength.h"
#include "beats/tempo.h"

#include <array>
#include <vector>

namespace downball::beats {

// One reading of the song's pulse: which instants are the beats, and what speaks for them.
struct Reading {
    std::vector<double> frames;    // beats, in frames of the onset strength
    double pulse = 0;              // mean onset strength on the beats less that half-way between
    std::array<double, 9> alike{}; // how like a beat's inside is that of the beat 1..8 later; -1..1
    double bar = 0;                // how much more alike beats a bar (3 or 4) apart are than others
    double prior = 0;              // of its tempo
    double lead = 0;     // -1..1: of what is struck on the beats over what is struck half-way between
    double conflict = 0; // how plainly one register (kick, body, snare) lives between the beats
    double level = 0;    // how much speaks for this tempo, in the prior's units
    double phase = 0;    // how much speaks for these instants at this tempo
};

// The best reading for each tempo guess, the most credible first. Beats and the same beats moved by quarters
// of a period are weighed against each other at one tempo, then tempi against tempi.
std::vector<Reading> readings(const OnsetStrength& onsets, const std::vector<TempoGuess>& guesses,
                              const BeatOptions& options);

} // namespace downball::beats
