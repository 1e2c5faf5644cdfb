// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/time/fraction.h"
#include "downball/time/rate.h"

#include <cstdint>

namespace downball {

// The field of an M2 line in an EDL: frames a second of source played, counted in the list's rate, to one
// decimal. 100 pictures a second played one by one in a list of 25: speed 1/4, 6.25 frames a second, which
// the field can only call 6.2.

// The field in tenths: 62. Ties go to the lower number, which never asks for more source than there is.
std::int64_t m2_tenths(Fraction speed, Rate list_rate);

// The speed that a reader of the list plays: 62/10 over 25 = 31/125. Real time has no M2 line and stays 1.
Fraction m2_speed(Fraction speed, Rate list_rate);

} // namespace downball
