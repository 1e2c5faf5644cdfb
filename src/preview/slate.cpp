// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "preview/slate.h"

#include "preview/ink.h"

#include <algorithm>

namespace downball::preview {

namespace {

constexpr std::uint8_t dark = 50, bright = 200;

} // namespace

media::Picture slate(int width, int height, const std::string& name) {
    media::Picture picture(width, height, dark);
    const double shorter = std::min(width, height);
    const double em_px = std::max(shorter / 15, std::min(22.0, shorter / 9)); // small ones stay legible
    // A row of DejaVu Sans is 1.17 em high.
    const auto letters =
        letters_of(name, {.em_px = em_px,
                          .centred = true,
                          .width_px = std::max(1, width * 9 / 10),
                          .most_lines = std::max(1, static_cast<int>(height * 0.9 / (1.25 * em_px)))});
    ink(picture, letters, (width - letters.width) / 2, (height - letters.height) / 2, bright);
    return picture;
}

} // namespace downball::preview
