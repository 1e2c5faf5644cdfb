// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>

namespace downball::sample {

// splitmix64 (Steele, Lea & Flood 2014): the same numbers on every machine and library, which the standard
// distributions do not promise.
class Prng {
  public:
    explicit Prng(std::uint64_t seed) : state_(seed) {}

    std::uint64_t next() {
        state_ += 0x9E3779B97F4A7C15u;
        std::uint64_t z = state_;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
        return z ^ (z >> 31);
    }
    double unit() { return static_cast<double>(next() >> 11) * 0x1p-53; } // [0, 1)
    double range(double low, double high) { return low + (high - low) * unit(); }
    double bipolar() { return 2 * unit() - 1; } // [-1, 1)
    int below(int n) { return static_cast<int>(next() % static_cast<std::uint64_t>(n)); }
    bool chance(double p) { return unit() < p; }

  private:
    std::uint64_t state_;
};

// A number in [0, 1) for a place, always the same one.
inline double hash01(int x, int y, std::uint64_t seed = 0) {
    return Prng(seed ^ (static_cast<std::uint64_t>(static_cast<std::uint32_t>(x)) << 32 |
                        static_cast<std::uint32_t>(y)))
        .unit();
}

} // namespace downball::sample
