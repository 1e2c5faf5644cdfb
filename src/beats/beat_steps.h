// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/onset_strength.h"

#include <cstddef>
#include <vector>

namespace downball::beats {

// What begins at each twelfth of each beat (4 and 3 divide it), by register, capped so that no single crash
// decides a song; and how the chord changes and how loud it is there.
struct BeatSteps {
    static constexpr std::size_t steps = 12;
    enum Kind { low, mid, presence, high, all, harmony, loudness, bass, kinds };

    std::size_t beats = 0;
    double period_s = 0;      // median
    std::vector<float> value; // beats x steps x kinds

    // Step `step` of beat `beat`; steps past the twelfth are those of later beats, past the last beat 0.
    float at(std::size_t beat, std::size_t step, Kind kind) const {
        const std::size_t row = beat * steps + step;
        return row < beats * steps ? value[row * kinds + static_cast<std::size_t>(kind)] : 0.0f;
    }
};

// Of beats at `frames` of the onset strength, in order: the last one only ends the beat before it, so there is one
// beat less than instants.
BeatSteps beat_steps(const OnsetStrength& onsets, const std::vector<double>& frames);

} // namespace downball::beats
