// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/time/fraction.h"

#include <cassert>
#include <limits>

namespace downball {

namespace {

__extension__ typedef __int128 Wide;

Wide greatest_common_divisor(Wide a, Wide b) {
    if (a < 0) a = -a;
    while (b != 0) {
        const Wide rest = a % b;
        a = b;
        b = rest;
    }
    return a;
}

Fraction reduced(Wide num, Wide den) {
    assert(den != 0);
    if (den < 0) {
        num = -num;
        den = -den;
    }
    const Wide common = greatest_common_divisor(num, den);
    num /= common;
    den /= common;
    [[maybe_unused]] constexpr Wide most = std::numeric_limits<std::int64_t>::max();
    assert(num <= most && num >= -most && den <= most);
    return {static_cast<std::int64_t>(num), static_cast<std::int64_t>(den)};
}

} // namespace

Fraction::Fraction(std::int64_t num, std::int64_t den) : num_(num), den_(den) {
    assert(den != 0);
    const auto common = static_cast<std::int64_t>(greatest_common_divisor(num, den));
    num_ /= common;
    den_ /= common;
    if (den_ < 0) {
        num_ = -num_;
        den_ = -den_;
    }
}

Fraction operator+(Fraction a, Fraction b) {
    return reduced(Wide{a.num_} * b.den_ + Wide{b.num_} * a.den_, Wide{a.den_} * b.den_);
}

Fraction operator-(Fraction a, Fraction b) {
    return reduced(Wide{a.num_} * b.den_ - Wide{b.num_} * a.den_, Wide{a.den_} * b.den_);
}

Fraction operator*(Fraction a, Fraction b) {
    return reduced(Wide{a.num_} * b.num_, Wide{a.den_} * b.den_);
}

Fraction operator/(Fraction a, Fraction b) {
    return reduced(Wide{a.num_} * b.den_, Wide{a.den_} * b.num_);
}

std::strong_ordering operator<=>(Fraction a, Fraction b) {
    const Wide left = Wide{a.num_} * b.den_;
    const Wide right = Wide{b.num_} * a.den_;
    return left < right   ? std::strong_ordering::less
           : left > right ? std::strong_ordering::greater
                          : std::strong_ordering::equal;
}

std::int64_t floor(Fraction f) {
    const auto whole = f.num() / f.den();
    return f.num() < 0 && whole * f.den() != f.num() ? whole - 1 : whole;
}

std::int64_t ceil(Fraction f) {
    return -floor(Fraction(-f.num(), f.den()));
}

std::int64_t round_half_down(Fraction f) {
    return ceil(f - Fraction(1, 2));
}

} // namespace downball
