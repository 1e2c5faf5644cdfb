// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>

// Log-odds weights of a bar's count, fitted to the bench's development tracks (tests/bench/beats/fit_bars.py).
namespace downball::beats::bar_weights {

using Row = std::array<double, 6>; // low, mid, presence, high, harmony, step

// By metre (2, 3, 4) and place in the bar, the downbeat first.
inline constexpr std::array<std::array<Row, 4>, 3> place{{
    {{{1.958, 0.034, 0.419, 0.756, 1.431, 0.886}, {0.046, 0.918, 0.782, 0.781, -0.617, -0.346}}},
    {{{-0.235, 0.292, -0.370, -0.570, 3.157, 0.635},
      {0.569, -0.341, -1.338, 0.233, 0.650, 0.560},
      {-0.539, -0.209, 1.582, 0.766, -3.192, -1.463}}},
    {{{0.317, -0.973, -0.185, -0.770, 0.418, 0.379},
      {-1.895, 0.008, -0.701, -0.852, -0.998, -0.206},
      {-0.925, -0.356, -0.743, -1.213, -0.617, -0.079},
      {-0.927, -0.196, -0.406, -0.794, -0.742, -0.160}}},
}};

// By metre: how like a beat is to the one 1, 2, 3, 4, 6, 8 later.
inline constexpr std::array<std::array<double, 6>, 3> likeness{{
    {0.419, 0.145, 0.049, -0.160, -0.862, 0.762},
    {-0.279, -1.064, -0.221, 0.230, 1.546, -1.228},
    {-0.140, 0.919, 0.172, -0.062, -0.684, 0.395},
}};

inline constexpr std::array<double, 3> metre{-0.106, -1.032, 0.827};
// Thirds of the beat are struck rather than its half; octaves of the tempo over 120.
inline constexpr std::array<double, 3> thirds{0.460, -0.525, 0.156};
inline constexpr std::array<double, 3> octaves{-0.756, 0.817, -0.060};
// The music begins on a downbeat.
inline constexpr std::array<double, 3> begins{1.669, 0.767, 2.210};

} // namespace downball::beats::bar_weights
