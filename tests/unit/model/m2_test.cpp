// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/model/m2.h"

using namespace downball;

TEST_CASE("EDL rule 14: the M2 number of high-speed media") {
    const Rate ntsc(30000, 1001), film(24000, 1001);
    CHECK(m2_tenths(ntsc.value() / Fraction(120000, 1001), ntsc) == 75); // 007.5
    CHECK(m2_tenths(film.value() / Fraction(120000, 1001), film) == 48); // 004.8
    CHECK(m2_tenths(Fraction(25, 100), Rate(25)) == 62);                 // 6.25, which the field rounds
    CHECK(m2_tenths(Fraction(25, 120), Rate(25)) == 52);                 // 5.2083
    CHECK(m2_tenths(Fraction(1), Rate(25)) == 250);
}

TEST_CASE("the speed a reader plays is the field over the list's rate") {
    CHECK(m2_speed(Fraction(1, 4), Rate(25)) == Fraction(31, 125));
    CHECK(m2_speed(Fraction(1, 5), Rate(25)) == Fraction(1, 5));
    CHECK(m2_speed(Fraction(1, 4), Rate(30000, 1001)) == Fraction(1001, 4000));
    CHECK(m2_speed(Fraction(1), Rate(24000, 1001)) == Fraction(1)); // no M2 line at all
}
