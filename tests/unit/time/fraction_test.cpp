// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/time/fraction.h"

using namespace downball;

TEST_CASE("fractions are in lowest terms with a positive denominator") {
    CHECK(Fraction(6, -8) == Fraction(-3, 4));
    CHECK(Fraction(0, 5) == Fraction(0));
    CHECK(Fraction(1, 3) + Fraction(1, 6) == Fraction(1, 2));
    CHECK(Fraction(30000, 1001) * Fraction(1001, 30000) == Fraction(1));
    CHECK(Fraction(1, 4) / Fraction(-1, 2) == Fraction(-1, 2));
    CHECK(Fraction(1, 3) < Fraction(2, 5));
    CHECK(Fraction(-1, 3) > Fraction(-2, 5));
}

TEST_CASE("rounding goes down, up, or to the nearest with ties down") {
    CHECK(floor(Fraction(-1, 2)) == -1);
    CHECK(ceil(Fraction(-1, 2)) == 0);
    CHECK(floor(Fraction(7, 2)) == 3);
    CHECK(ceil(Fraction(7, 2)) == 4);
    CHECK(round_half_down(Fraction(45, 2)) == 22);
    CHECK(round_half_down(Fraction(-45, 2)) == -23);
    CHECK(round_half_down(Fraction(226, 10)) == 23);
    CHECK(round_half_down(Fraction(3)) == 3);
}

TEST_CASE("products of large numbers stay exact where the result fits") {
    const Fraction day(2589408LL * 1001, 30000); // seconds of a day of drop-frame labels
    CHECK(day * Fraction(30000, 1001) == Fraction(2589408));
}
