// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <compare>
#include <cstdint>

namespace downball {

// A whole number of units of one kind, used both for a position and for a length. The rate is not part of
// the value: whoever holds Frames or Samples says at which rate they count.
template <class Unit>
struct Tick {
    std::int64_t n = 0;

    friend constexpr auto operator<=>(const Tick&, const Tick&) = default;
    constexpr Tick& operator+=(Tick b) {
        n += b.n;
        return *this;
    }
    constexpr Tick& operator-=(Tick b) {
        n -= b.n;
        return *this;
    }
    friend constexpr Tick operator+(Tick a, Tick b) { return {a.n + b.n}; }
    friend constexpr Tick operator-(Tick a, Tick b) { return {a.n - b.n}; }
};

using Frame = Tick<struct FrameUnit>;
using Sample = Tick<struct SampleUnit>;

// Half open: `out` is the first position no longer inside (facts of the trade: out - in is the length).
template <class T>
struct Range {
    T in{};
    T out{};

    constexpr T length() const { return out - in; }
    constexpr bool empty() const { return !(in < out); }
    constexpr bool contains(T at) const { return in <= at && at < out; }
    constexpr bool contains(const Range& other) const { return in <= other.in && other.out <= out; }
    constexpr bool overlaps(const Range& other) const { return in < other.out && other.in < out; }
    friend constexpr bool operator==(const Range&, const Range&) = default;
};

using FrameRange = Range<Frame>;

} // namespace downball
