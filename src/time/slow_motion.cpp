// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/time/slow_motion.h"

namespace downball {

Fraction stretch_of_each_once(Rate capture, Rate list) {
    return capture.value() / list.value();
}

bool drops_evenly(Rate capture, Rate list) {
    return stretch_of_each_once(capture, list).den() == 1;
}

Fraction shutter_s(Rate capture, int angle_degrees) {
    return Fraction(angle_degrees, 360) / capture.value();
}

} // namespace downball
