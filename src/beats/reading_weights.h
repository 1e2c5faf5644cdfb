// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>

// Log-odds weights of a reading's evidence, fitted to the bench's development tracks by tests/bench/beats/fit_readings.py.
namespace downball::beats::reading_weights {

inline constexpr std::array<double, 41> evidence{
    0.4393,  // prior
    0.1640,  // tempo
    0.1952,  // quick
    -0.9035, // slow
    0.1927,  // fast
    -1.3283, // very_fast
    1.3178,  // very_slow
    0.5664,  // pulse
    -0.0361, // path
    0.7331,  // begins
    -0.3641, // ends
    -0.2376, // lead_half
    0.3402,  // lead_best
    -0.2047, // lead_low
    0.1178,  // lead_mid
    0.2538,  // lead_presence
    0.4289,  // lead_harmony
    -0.1710, // lead_chord
    -0.4141, // low_half
    0.0975,  // mid_half
    -0.4416, // presence_half
    0.0140,  // low_thirds
    -0.0103, // off_low
    1.4304,  // off_presence
    0.7971,  // triple
    0.1703,  // quarters
    -0.2265, // swing
    0.1206,  // pick_up
    -0.3165, // follow_gap
    0.2084,  // alternate
    -0.0479, // alike1
    0.2054,  // alike2
    0.0267,  // alike3
    0.2770,  // alike4
    -0.1976, // alike6
    -0.2651, // alike8
    -0.5361, // bar3
    0.1938,  // bar4
    0.4568,  // bar_harmony
    0.0283,  // bar_score
    0.3319,  // bar_sure
};

// By register and twelfth of the beat.
inline constexpr std::array<std::array<double, 12>, 4> profile{{
    {0.1099, -0.0226, -0.1769, -0.1910, -0.2632, -0.2910, -0.1940, -0.2254, -0.1658, -0.2124, -0.1876,
     -0.3031},
    {0.0967, 0.0020, 0.0294, 0.0195, -0.0950, 0.1047, -0.0045, -0.0945, 0.0919, -0.0006, 0.1711, 0.4632},
    {0.2729, 0.0359, 0.0404, -0.0625, -0.0602, -0.0618, 0.0036, -0.0612, 0.1338, -0.0130, 0.2292, 0.1735},
    {0.1512, 0.0096, -0.0951, -0.1878, -0.1548, -0.2108, 0.0196, 0.0920, -0.1781, 0.1294, -0.0578, 0.1637},
}};

} // namespace downball::beats::reading_weights
