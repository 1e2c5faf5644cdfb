// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>

// Log-odds weights of a bar's count, fitted to the bench's development tracks (tests/bench/beats/fit_bars.py).
namespace downball::beats::bar_weights {

using Row = std::array<double, 6>; // low, mid, presence, high, harmony, step

// By metre (2, 3, 4) and place in the bar, the downbeat first.
inline constexpr std::array<std::array<Row, 4>, 3> place{{
    {{{1.664, 0.172, 0.544, 0.848, 2.031, 0.724}, {-0.142, 0.951, 1.010, 0.672, -0.080, -0.320}}},
    {{{-0.384, 0.348, -0.491, -0.661, 2.660, 0.551},
      {0.361, -0.596, -1.279, 0.479, 0.307, 0.537},
      {-0.709, -0.303, 1.363, 0.565, -3.086, -1.288}}},
    {{{0.705, -0.943, -0.260, -0.802, 0.092, 0.419},
      {-1.535, 0.044, -0.806, -0.857, -1.342, -0.068},
      {-0.537, -0.376, -0.843, -1.172, -0.945, 0.051},
      {-0.512, -0.181, -0.510, -0.765, -1.081, -0.131}}},
}};

// By metre: how like a beat is to the one 1, 2, 3, 4, 6, 8 later.
inline constexpr std::array<std::array<double, 6>, 3> likeness{{
    {0.573, 0.166, -0.468, -0.269, -0.926, 0.276},
    {-1.410, -1.191, 1.210, 0.769, 1.410, -1.333},
    {0.837, 1.025, -0.742, -0.432, -0.484, 0.814},
}};

inline constexpr std::array<double, 3> metre{0.042, -0.822, 0.596};
// The music begins on a downbeat.
inline constexpr std::array<double, 3> begins{1.671, 0.709, 2.166};

} // namespace downball::beats::bar_weights
