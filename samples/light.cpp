// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "light.h"

#include <array>

namespace downball::sample {
namespace {

struct Hour {
    double at_h;
    double elevation_deg, azimuth_deg; // 0 = along +x, 90 = towards the sea
    Rgb zenith, horizon, sunlight, ambient, sand, sea;
    double shadow;
};

// Afternoon sun stands over the camera side and sinks towards the end of the beach.
constexpr std::array<Hour, 5> hours{{
    {9,
     34,
     -150,
     {74, 138, 205},
     {205, 224, 236},
     {255, 246, 226},
     {150, 165, 190},
     {226, 204, 163},
     {47, 122, 155},
     0.40},
    {12.5,
     66,
     -95,
     {58, 130, 212},
     {190, 221, 240},
     {255, 252, 242},
     {165, 178, 198},
     {238, 217, 174},
     {36, 132, 168},
     0.44},
    {15.5,
     46,
     -55,
     {66, 136, 208},
     {200, 222, 236},
     {255, 248, 228},
     {158, 168, 186},
     {234, 209, 163},
     {40, 122, 160},
     0.42},
    {17.2,
     24,
     -28,
     {84, 132, 190},
     {238, 216, 186},
     {255, 230, 190},
     {150, 148, 168},
     {232, 196, 144},
     {56, 112, 146},
     0.40},
    {18.6,
     10,
     -12,
     {92, 108, 162},
     {252, 190, 132},
     {255, 202, 142},
     {140, 120, 146},
     {222, 172, 122},
     {82, 98, 132},
     0.36},
}};

} // namespace

Light light_at(double seconds_of_day) {
    const double h = std::clamp(seconds_of_day / 3600, hours.front().at_h, hours.back().at_h);
    std::size_t i = 0;
    while (i + 2 < hours.size() && hours[i + 1].at_h < h)
        ++i;
    const Hour& a = hours[i];
    const Hour& b = hours[i + 1];
    const double k = (h - a.at_h) / (b.at_h - a.at_h);
    const double el = mix(a.elevation_deg, b.elevation_deg, k) * pi / 180;
    const double az = mix(a.azimuth_deg, b.azimuth_deg, k) * pi / 180;
    return {{std::cos(el) * std::cos(az), std::cos(el) * std::sin(az), std::sin(el)},
            mix(a.zenith, b.zenith, k),
            mix(a.horizon, b.horizon, k),
            mix(a.sunlight, b.sunlight, k),
            mix(a.ambient, b.ambient, k),
            mix(a.sand, b.sand, k),
            mix(a.sea, b.sea, k),
            mix(a.shadow, b.shadow, k)};
}

} // namespace downball::sample
