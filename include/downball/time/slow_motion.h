// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/time/rate.h"

namespace downball {

// How many times slower than life a list plays pictures taken at `capture` when it shows each once: capture / list.
// Slower than that, pictures repeat. The speed is its inverse: 120 in a list of 24: 5, 1/5.
Fraction stretch_of_each_once(Rate capture, Rate list);

// At the speed of life, does a list show every so manieth picture? Else some steps are longer than others.
bool drops_evenly(Rate capture, Rate list);

// How long the shutter is open, in seconds: angle / 360 / capture; 180 degrees at 120: 1/240 s.
Fraction shutter_s(Rate capture, int angle_degrees = 180);

} // namespace downball
