// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "strip.h"

namespace downball::sample {

void draw_strip(Canvas& canvas, int frame, int clip, bool contact) {
    const unsigned bits = (static_cast<unsigned>(frame) & 0xFFFFu) << 9 |
                          (static_cast<unsigned>(clip) & 0xFFu) << 1 | (contact ? 1u : 0u);
    for (int y = strip_y - 2; y < strip_y + strip_square + 2; ++y)
        for (int x = strip_x - 2; x < strip_x + strip_bits * strip_square + 2; ++x) {
            const int square = (x - strip_x) / strip_square;
            const bool inside =
                y >= strip_y && y < strip_y + strip_square && x >= strip_x && square < strip_bits;
            const bool lit = inside && (bits >> (strip_bits - 1 - square) & 1u);
            canvas.set(x, y, lit ? Rgb{240, 240, 240} : Rgb{12, 12, 12});
        }
}

} // namespace downball::sample
