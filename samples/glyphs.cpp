// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "glyphs.h"

#include <array>
#include <cstdint>

namespace downball::sample {
namespace {

// Rows from the top, three bits each, the left cell in the highest bit: 0b111'101'101'101'111 is "0".
constexpr std::array<std::uint16_t, 10> digits{
    0b111101101101111, 0b010110010010111, 0b111001111100111, 0b111001111001111, 0b101101111001001,
    0b111100111001111, 0b111100111101111, 0b111001001010010, 0b111101111101111, 0b111101111001111};
constexpr std::array<std::uint16_t, 26> letters{
    0b010101111101101, 0b110101110101110, 0b011100100100011, 0b110101101101110, 0b111100110100111,
    0b111100110100100, 0b011100101101011, 0b101101111101101, 0b111010010010111, 0b001001001101010,
    0b101101110101101, 0b100100100100111, 0b101111111101101, 0b110101101101101, 0b010101101101010,
    0b110101110100100, 0b010101101111011, 0b110101110101101, 0b011100010001110, 0b111010010010010,
    0b101101101101111, 0b101101101101010, 0b101101111111101, 0b101101010101101, 0b101101010010010,
    0b111001010100111};

std::uint16_t glyph(char c) {
    if (c >= '0' && c <= '9') return digits[static_cast<std::size_t>(c - '0')];
    if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
    if (c >= 'A' && c <= 'Z') return letters[static_cast<std::size_t>(c - 'A')];
    if (c == '-') return 0b000000111000000;
    if (c == ':') return 0b000010000010000;
    if (c == '.') return 0b000000000000010;
    return 0;
}

} // namespace

void draw_text(Canvas& canvas, std::string_view text, Vec2 top_left, double cell, const Paint& paint) {
    for (const char c : text) {
        const unsigned rows = glyph(c);
        for (int i = 0; i < 15; ++i) {
            if ((rows >> (14 - i) & 1u) == 0) continue;
            const Vec2 at = top_left + Vec2{(i % 3) * cell, static_cast<double>(i / 3) * cell};
            const Vec2 corners[4] = {at, at + Vec2{cell, 0}, at + Vec2{cell, cell}, at + Vec2{0, cell}};
            canvas.polygon(corners, paint, 0.02);
        }
        top_left.x += 4 * cell;
    }
}

double text_width(std::string_view text, double cell) {
    return text.empty() ? 0 : (static_cast<double>(text.size()) * 4 - 1) * cell;
}

} // namespace downball::sample
