// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/model/m2.h"

namespace downball {

std::int64_t m2_tenths(Fraction speed, Rate list_rate) {
    return round_half_down(speed * list_rate.value() * Fraction(10));
}

Fraction m2_speed(Fraction speed, Rate list_rate) {
    return Fraction(m2_tenths(speed, list_rate), 10) / list_rate.value();
}

} // namespace downball
