// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "raster.h"

#include <string_view>

namespace downball::sample {

// Capitals, digits and a few signs, three cells wide and five high, each cell `cell` pixels; cells are four
// apart from letter to letter. Small letters are drawn as capitals.
void draw_text(Canvas& canvas, std::string_view text, Vec2 top_left, double cell, const Paint& paint);
double text_width(std::string_view text, double cell);

} // namespace downball::sample
