// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "raster.h"

namespace downball::sample {

// A row of squares in the lower left corner that says which picture this is, for programs: 16 squares frame
// number, 8 squares clip number, 1 square lit when a contact falls into this frame; white = 1, the highest
// bit on the left. Squares are 8 x 8 pixels, the first from (10, 346) to (18, 354) of 640 x 360, on a black
// band two pixels wider all round.
inline constexpr int strip_x = 10, strip_y = 346, strip_square = 8, strip_bits = 25;

void draw_strip(Canvas& canvas, int frame, int clip, bool contact);

} // namespace downball::sample
