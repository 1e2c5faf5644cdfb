// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "glyphs.h"

#include "bitmap_font.h"

namespace downball::sample {

void draw_text(Canvas& canvas, std::string_view text, Vec2 top_left, double cell, Rgb colour, double alpha) {
    const double width = text_width(text, cell);
    const auto lit = [&](double x, double y) {
        if (x < 0 || y < 0 || x >= width || y >= 7 * cell) return false;
        const int column = static_cast<int>(x / cell), row = static_cast<int>(y / cell);
        return inked(text[static_cast<std::size_t>(column / 6)], column % 6, row);
    };
    const auto first = [](double v) { return std::max(0, static_cast<int>(std::floor(v))); };
    const int right = std::min(canvas.width(), first(top_left.x + width) + 1);
    const int bottom = std::min(canvas.height(), first(top_left.y + 7 * cell) + 1);
    constexpr int fine = 4; // samples a side of a pixel
    for (int y = first(top_left.y); y < bottom; ++y)
        for (int x = first(top_left.x); x < right; ++x) {
            int hits = 0;
            for (int i = 0; i < fine * fine; ++i)
                hits += lit(x + (i % fine + 0.5) / fine - top_left.x,
                            y + (static_cast<double>(i / fine) + 0.5) / fine - top_left.y);
            if (hits > 0) canvas.set(x, y, mix(canvas.get(x, y), colour, alpha * hits / (fine * fine)));
        }
}

double text_width(std::string_view text, double cell) {
    return text.empty() ? 0 : (static_cast<double>(text.size()) * 6 - 1) * cell;
}

} // namespace downball::sample
