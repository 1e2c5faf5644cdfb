// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>

namespace downball {

// Random numbers (Steele, Lea and Flood 2014) that are the same on every machine and with every library, which
// the standard distributions do not promise.
class SplitMix64 {
  public:
    explicit SplitMix64(std::uint64_t seed) : state_(seed) {}

    std::uint64_t next() { return mix(state_ += step); }
    double unit() { return static_cast<double>(next() >> 11) * 0x1p-53; } // [0, 1)
    bool chance(double p) { return unit() < p; }

    static constexpr std::uint64_t step = 0x9E3779B97F4A7C15u;
    static constexpr std::uint64_t mix(std::uint64_t z) {
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
        return z ^ (z >> 31);
    }

  private:
    std::uint64_t state_;
};

} // namespace downball
