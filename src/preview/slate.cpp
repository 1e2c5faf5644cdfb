// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "preview/slate.h"

#include "downball/base/glyphs.h"

#include <algorithm>

namespace downball::preview {

namespace {

constexpr std::uint8_t dark = 50, bright = 190;
constexpr int columns = 6, rows = 9; // cells of a character and the room around it

char drawn(char c) {
    return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
}

} // namespace

media::Picture slate(int width, int height, const std::string& name) {
    media::Picture picture(width, height, dark);
    const int cell = std::max(1, std::min(width, height) / 120);
    const int a_row = std::max(1, (width * 9 / 10) / (columns * cell)); // characters
    const int length = static_cast<int>(name.size());
    const int lines = (length + a_row - 1) / a_row;
    const int left = (width - std::min(length, a_row) * columns * cell) / 2;
    const int top = (height - lines * rows * cell) / 2;
    const auto luma = picture.plane(0);
    for (int y = std::max(0, top); y < std::min(height, top + lines * rows * cell); ++y)
        for (int x = left; x < width - left; ++x) {
            const int row = (y - top) / cell, column = (x - left) / cell;
            const int at = row / rows * a_row + column / columns;
            if (column / columns < a_row && at < length &&
                inked(drawn(name[static_cast<std::size_t>(at)]), column % columns, row % rows))
                luma.data[y * luma.width + x] = bright;
        }
    return picture;
}

} // namespace downball::preview
