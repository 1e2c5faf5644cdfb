// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "raster.h"

#include <string_view>

namespace downball::sample {

// Characters of bitmap_font.h, their cells `cell` pixels each; one cell lies between letters.
void draw_text(Canvas& canvas, std::string_view text, Vec2 top_left, double cell, Rgb colour,
               double alpha = 1);
double text_width(std::string_view text, double cell);

} // namespace downball::sample
