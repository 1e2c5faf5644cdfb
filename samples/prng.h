// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/splitmix64.h"

#include <cstdint>

namespace downball::sample {

class Prng : public SplitMix64 {
  public:
    using SplitMix64::SplitMix64;

    double range(double low, double high) { return low + (high - low) * unit(); }
    double bipolar() { return 2 * unit() - 1; } // [-1, 1)
    int below(int n) { return static_cast<int>(next() % static_cast<std::uint64_t>(n)); }
};

// A number in [0, 1) for a place, always the same one.
inline double hash01(int x, int y, std::uint64_t seed = 0) {
    return Prng(seed ^ (static_cast<std::uint64_t>(static_cast<std::uint32_t>(x)) << 32 |
                        static_cast<std::uint32_t>(y)))
        .unit();
}

} // namespace downball::sample
