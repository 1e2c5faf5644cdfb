// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "raster.h"

namespace downball::sample {

// Daylight at a time of day: where the sun stands and what colour things take.
struct Light {
    Vec3 sun;            // unit, towards it
    Rgb zenith, horizon; // sky
    Rgb sunlight, ambient;
    Rgb sand, sea;
    double shadow; // darkness of shadows, 0..1
};

Light light_at(double seconds_of_day);

// A matt surface's colour in the sun and out of it.
inline Rgb in_sun(const Light& light, Rgb base) {
    return base * light.sunlight;
}
inline Rgb in_shade(const Light& light, Rgb base) {
    return base * light.ambient;
}

} // namespace downball::sample
