// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cmath>
#include <cstdint>

namespace downball::test {

// Random numbers that are the same with every standard library: splitmix64. Two rolls among the arguments of
// one call come in the compiler's order: clips made from one seed differ between g++ and clang, and published
// figures are those of g++.
class Dice {
  public:
    // The seed is mixed first: streams of neighbouring seeds must not be one stream, shifted.
    explicit Dice(std::uint64_t seed) : state_(mix(mix(seed + step_) + 0x1234567u)) {}

    std::uint64_t bits() { return mix(state_ += step_); }
    double unit() { return static_cast<double>(bits() >> 11) * 0x1p-53; }
    double between(double low, double high) { return low + (high - low) * unit(); }
    // Even on a logarithmic scale: for frequencies and times.
    double scale(double low, double high) { return low * std::pow(high / low, unit()); }
    bool chance(double p) { return unit() < p; }
    int whole(int low, int high) {
        return low + static_cast<int>(bits() % static_cast<std::uint64_t>(high - low + 1));
    }
    // White noise of variance 1, from two uniform numbers: near enough to normal and cheap.
    double noise() { return (unit() + unit() - 1) * 2.449489743; }
    double wait(double mean) { return -mean * std::log(1 - unit()); } // Poisson events

  private:
    static constexpr std::uint64_t step_ = 0x9E3779B97F4A7C15u;
    static std::uint64_t mix(std::uint64_t z) {
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
        return z ^ (z >> 31);
    }

    std::uint64_t state_;
};

inline double gain_of_db(double db) {
    return std::pow(10.0, db / 20);
}

} // namespace downball::test
