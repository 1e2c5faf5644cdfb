// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/bars.h"
#include "beats/beat_steps.h"
#include "beats/onset_strength.h"
#include "beats/tempo.h"

#include <array>
#include <vector>

namespace downball::beats {

// What speaks for a reading; each entry is explained where it is measured.
struct Evidence {
    enum Kind {
        prior,
        tempo,
        quick,
        slow,
        fast,
        very_fast,
        very_slow, // of the tempo alone
        pulse,
        path,
        begins,
        ends, // the beats themselves
        lead_half,
        lead_best,
        lead_low,
        lead_mid,
        lead_presence, // beats against what lies between
        lead_harmony,
        lead_chord,
        low_half,
        mid_half,
        presence_half,
        low_thirds,
        off_low,
        off_presence,
        triple,
        quarters,
        swing,
        pick_up,
        follow_gap,
        alternate, // how beats are divided and paired
        alike1,
        alike2,
        alike3,
        alike4,
        alike6,
        alike8, // what comes again
        bar3,
        bar4,
        bar_harmony,
        bar_score,
        bar_sure,
        kinds // bars
    };
    std::array<double, kinds> value{};
    double ruled_out = 0; // 0..1: by logic, whatever music it is
    // By register and twelfth of the beat: what is struck there, over the register's mean; at most 4.
    std::array<std::array<double, BeatSteps::steps>, OnsetStrength::registers> profile{};
};

// One reading of the song's pulse: which instants are the beats, and what speaks for them.
struct Reading {
    std::vector<double> frames; // beats, in frames of the onset strength
    bool rigid = false;         // one tempo throughout
    Likeness likeness;
    double salience = 0; // of its tempo, see TempoCurve
    Evidence evidence;
    double level = 0; // how much speaks for it, all in all
};

// Readings at every tempo guess and at each musical shift of the beats against it, the most credible first.
std::vector<Reading> readings(const OnsetStrength& onsets, const std::vector<TempoCurve>& guesses,
                              const BeatOptions& options);

} // namespace downball::beats
