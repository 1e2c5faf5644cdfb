// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/model/m2.h"

namespace downball {

std::int64_t m2_tenths(Fraction speed, Rate list_rate) {
    return round_half_down(speed * list_rate.value() * Fraction(10));
}

Fraction m2_speed(Fraction speed, Rate list_rate) {
    if (speed == Fraction(1)) return speed; // no line is written, so nothing is rounded: 23.976 is no 24.0
    return Fraction(m2_tenths(speed, list_rate), 10) / list_rate.value();
}

} // namespace downball
