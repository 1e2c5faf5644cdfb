// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "preview/lettering.h"

#include "downball/media/picture.h"

#include <algorithm>

namespace downball::preview {

// Of two shades the one between them that lies at `cover` of 255.
constexpr int between(int under, int over, int cover) {
    return under + ((over - under) * cover + (over > under ? 127 : -127)) / 255;
}

// Letters of a grey with their top left corner at (left, top) of the picture, as far as they lie in it. Colour stays
// that of what is below.
inline void ink(media::Picture& picture, const Letters& letters, int left, int top, std::uint8_t grey) {
    const auto luma = picture.plane(0);
    for (int y = std::max(0, -top); y < std::min(letters.height, luma.height - top); ++y) {
        auto* row = luma.data + static_cast<std::ptrdiff_t>(top + y) * luma.width + left;
        for (int x = std::max(0, -left); x < std::min(letters.width, luma.width - left); ++x)
            if (const int cover = letters.at(x, y)) // most have none
                row[x] = static_cast<std::uint8_t>(between(row[x], grey, cover));
    }
}

} // namespace downball::preview
