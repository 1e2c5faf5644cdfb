// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <compare>
#include <cstdint>

namespace downball {

// An exact fraction in lowest terms with a positive denominator. Arithmetic uses 128 bits inside; a result
// that does not fit 64 bits afterwards is a broken promise (assert).
class Fraction {
  public:
    constexpr Fraction() = default;
    Fraction(std::int64_t num, std::int64_t den = 1);

    std::int64_t num() const { return num_; }
    std::int64_t den() const { return den_; }
    double to_double() const { return static_cast<double>(num_) / static_cast<double>(den_); }

    friend Fraction operator+(Fraction a, Fraction b);
    friend Fraction operator-(Fraction a, Fraction b);
    friend Fraction operator*(Fraction a, Fraction b);
    friend Fraction operator/(Fraction a, Fraction b); // b != 0
    friend bool operator==(const Fraction&, const Fraction&) = default;
    friend std::strong_ordering operator<=>(Fraction a, Fraction b);

  private:
    std::int64_t num_ = 0;
    std::int64_t den_ = 1;
};

// Largest whole number <= f; smallest >= f; nearest, with a tie going to the lower number.
std::int64_t floor(Fraction f);
std::int64_t ceil(Fraction f);
std::int64_t round_half_down(Fraction f);

} // namespace downball
