// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>

// Log-odds weights of a reading's evidence, fitted to the bench's development tracks by tests/bench/beats/fit_readings.py.
namespace downball::beats::reading_weights {

inline constexpr std::array<double, 41> evidence{
    0.4344,  // prior
    0.1690,  // tempo
    0.1783,  // quick
    -0.8830, // slow
    0.2846,  // fast
    -1.4397, // very_fast
    1.3269,  // very_slow
    0.5801,  // pulse
    -0.0413, // path
    0.7356,  // begins
    -0.3764, // ends
    -0.2656, // lead_half
    0.3008,  // lead_best
    -0.2150, // lead_low
    0.1208,  // lead_mid
    0.2693,  // lead_presence
    0.4772,  // lead_harmony
    -0.2277, // lead_chord
    -0.3990, // low_half
    0.1190,  // mid_half
    -0.4613, // presence_half
    0.0111,  // low_thirds
    0.0097,  // off_low
    1.3444,  // off_presence
    0.7662,  // triple
    0.1701,  // quarters
    -0.2220, // swing
    0.0942,  // pick_up
    -0.2961, // follow_gap
    0.2008,  // alternate
    0.0335,  // alike1
    0.1716,  // alike2
    0.0640,  // alike3
    0.2357,  // alike4
    -0.1096, // alike6
    -0.1468, // alike8
    -0.5104, // bar3
    0.2048,  // bar4
    0.4540,  // bar_harmony
    0.0265,  // bar_score
    0.3385,  // bar_sure
};

// By register and twelfth of the beat.
inline constexpr std::array<std::array<double, 12>, 4> profile{{
    {0.1088, -0.0128, -0.1926, -0.1925, -0.2599, -0.2890, -0.1865, -0.2272, -0.1615, -0.2063, -0.1868,
     -0.3077},
    {0.1055, -0.0044, 0.0495, 0.0095, -0.0990, 0.0708, -0.0054, -0.0970, 0.0870, 0.0060, 0.1599, 0.4526},
    {0.2600, 0.0429, 0.0404, -0.0502, -0.0516, -0.0568, 0.0021, -0.0758, 0.1396, -0.0204, 0.2358, 0.1812},
    {0.1415, 0.0126, -0.0955, -0.1939, -0.1588, -0.1938, 0.0181, 0.1104, -0.1785, 0.1295, -0.0600, 0.1709},
}};

} // namespace downball::beats::reading_weights
