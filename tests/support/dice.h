// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/splitmix64.h"

#include <cmath>
#include <cstdint>

namespace downball::test {

// Two rolls among the arguments of one call come in the compiler's order: clips made from one seed differ between
// g++ and clang, and published figures are those of g++.
class Dice : public SplitMix64 {
  public:
    // The seed is mixed first: streams of neighbouring seeds must not be one stream, shifted.
    explicit Dice(std::uint64_t seed) : SplitMix64(mix(mix(seed + step) + 0x1234567u)) {}

    double between(double low, double high) { return low + (high - low) * unit(); }
    // Even on a logarithmic scale: for frequencies and times.
    double scale(double low, double high) { return low * std::pow(high / low, unit()); }
    int whole(int low, int high) {
        return low + static_cast<int>(next() % static_cast<std::uint64_t>(high - low + 1));
    }
    // White noise of variance 1, from two uniform numbers: near enough to normal and cheap.
    double noise() { return (unit() + unit() - 1) * 2.449489743; }
    double wait(double mean) { return -mean * std::log(1 - unit()); } // Poisson events
};

inline double gain_of_db(double db) {
    return std::pow(10.0, db / 20);
}

} // namespace downball::test
