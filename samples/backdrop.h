// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "camera.h"
#include "light.h"
#include "raster.h"

#include <vector>

namespace downball::sample {

// Where the sand ends and the sea begins (mean line; it wanders a little).
inline constexpr double shore_y = 24;

// Sky, sea, headland, dunes, sand and court lines, cast ray by ray once for a tripod camera; only the sea
// moves.
class Backdrop {
  public:
    Backdrop(const Camera& camera, const Light& light);

    Canvas& still() { return still_; }
    // Call after everything that stands still has been drawn: what it covers no longer moves as sea.
    void seal();
    void paint(Canvas& canvas, double at_s) const;

  private:
    struct Water {
        std::size_t at;
        float x, y;        // metres
        float swell, chop; // how much of long and short waves is left at that distance
        float stir;        // turns by which this place is out of step, so that no pattern shows
        Rgb colour;
    };

    Light light_;
    Canvas still_;
    std::vector<Water> water_;
    std::vector<std::uint8_t> unsealed_;
};

} // namespace downball::sample
