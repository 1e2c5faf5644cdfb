// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "raster.h"

#include <string_view>

namespace downball::sample {

// Capitals and digits on a grid of five by seven cells, each `cell` pixels; one cell lies between letters.
// Letters that no banner of the sample needs stay blank.
void draw_text(Canvas& canvas, std::string_view text, Vec2 top_left, double cell, Rgb colour,
               double alpha = 1);
double text_width(std::string_view text, double cell);

} // namespace downball::sample
