// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "glyphs.h"

#include <array>
#include <cstdint>

namespace downball::sample {
namespace {

// Seven rows from the top, five bits each, the left cell in the highest bit. Only what the sample writes.
struct Glyph {
    char letter;
    std::array<std::uint8_t, 7> rows;
};
// clang-format off
constexpr Glyph glyphs[] = {
    {'0', {0b01110, 0b10001, 0b10011, 0b10101, 0b11001, 0b10001, 0b01110}},
    {'1', {0b00100, 0b01100, 0b00100, 0b00100, 0b00100, 0b00100, 0b01110}},
    {'2', {0b01110, 0b10001, 0b00001, 0b00110, 0b01000, 0b10000, 0b11111}},
    {'3', {0b11110, 0b00001, 0b00001, 0b01110, 0b00001, 0b00001, 0b11110}},
    {'4', {0b00010, 0b00110, 0b01010, 0b10010, 0b11111, 0b00010, 0b00010}},
    {'5', {0b11111, 0b10000, 0b11110, 0b00001, 0b00001, 0b10001, 0b01110}},
    {'6', {0b00110, 0b01000, 0b10000, 0b11110, 0b10001, 0b10001, 0b01110}},
    {'7', {0b11111, 0b00001, 0b00010, 0b00100, 0b00100, 0b01000, 0b01000}},
    {'8', {0b01110, 0b10001, 0b10001, 0b01110, 0b10001, 0b10001, 0b01110}},
    {'9', {0b01110, 0b10001, 0b10001, 0b01111, 0b00001, 0b00010, 0b01100}},
    {'A', {0b01110, 0b10001, 0b10001, 0b11111, 0b10001, 0b10001, 0b10001}},
    {'B', {0b11110, 0b10001, 0b10001, 0b11110, 0b10001, 0b10001, 0b11110}},
    {'C', {0b01110, 0b10001, 0b10000, 0b10000, 0b10000, 0b10001, 0b01110}},
    {'E', {0b11111, 0b10000, 0b10000, 0b11110, 0b10000, 0b10000, 0b11111}},
    {'G', {0b01110, 0b10001, 0b10000, 0b10111, 0b10001, 0b10001, 0b01110}},
    {'H', {0b10001, 0b10001, 0b10001, 0b11111, 0b10001, 0b10001, 0b10001}},
    {'K', {0b10001, 0b10010, 0b10100, 0b11000, 0b10100, 0b10010, 0b10001}},
    {'L', {0b10000, 0b10000, 0b10000, 0b10000, 0b10000, 0b10000, 0b11111}},
    {'N', {0b10001, 0b11001, 0b11001, 0b10101, 0b10011, 0b10011, 0b10001}},
    {'P', {0b11110, 0b10001, 0b10001, 0b11110, 0b10000, 0b10000, 0b10000}},
    {'R', {0b11110, 0b10001, 0b10001, 0b11110, 0b10100, 0b10010, 0b10001}},
    {'S', {0b01111, 0b10000, 0b10000, 0b01110, 0b00001, 0b00001, 0b11110}},
    {'T', {0b11111, 0b00100, 0b00100, 0b00100, 0b00100, 0b00100, 0b00100}},
    {'U', {0b10001, 0b10001, 0b10001, 0b10001, 0b10001, 0b10001, 0b01110}},
    {'V', {0b10001, 0b10001, 0b10001, 0b10001, 0b01010, 0b01010, 0b00100}},
    {'Y', {0b10001, 0b10001, 0b01010, 0b00100, 0b00100, 0b00100, 0b00100}},
    {'-', {0b00000, 0b00000, 0b00000, 0b01110, 0b00000, 0b00000, 0b00000}},
};
// clang-format on

const Glyph* find(char c) {
    for (const Glyph& g : glyphs)
        if (g.letter == c) return &g;
    return nullptr;
}

} // namespace

void draw_text(Canvas& canvas, std::string_view text, Vec2 top_left, double cell, Rgb colour, double alpha) {
    const double width = text_width(text, cell);
    const auto lit = [&](double x, double y) {
        if (x < 0 || y < 0 || x >= width || y >= 7 * cell) return false;
        const int column = static_cast<int>(x / cell), row = static_cast<int>(y / cell);
        if (column % 6 == 5) return false;
        const Glyph* g = find(text[static_cast<std::size_t>(column / 6)]);
        return g && (g->rows[static_cast<std::size_t>(row)] >> (4 - column % 6) & 1) != 0;
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
