// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"

#include <cstdint>
#include <string>
#include <vector>

namespace downball::preview {

// How much of each pixel is covered by letters, 0 to 255, row by row.
struct Letters {
    int width = 0, height = 0;
    std::vector<std::uint8_t> cover;

    std::uint8_t at(int x, int y) const {
        return cover[static_cast<std::size_t>(y) * static_cast<std::size_t>(width) +
                     static_cast<std::size_t>(x)];
    }
};

struct TextForm {
    double em_px;
    bool bold = false;
    bool centred = false; // else it begins at the side that its script begins at
    int width_px = 0;     // lines end there, between words where that is possible; 0: as wide as the text
    int most_lines = 1;   // what is over is left out, and ellipsis points tell
};

// UTF-8 of any script as one paragraph, in DejaVu Sans; what that has no letters for comes from other fonts of the
// system. What is no UTF-8 is drawn as U+FFFD. Any number of threads may call it. The same text gives the same
// letters, with the same fonts and libraries. Without memory there are no letters.
Letters letters_of(const std::string& text, const TextForm& form);

// A picture of pixels 0x00RRGGBB, row by row, as a PNG file.
Result<std::string> to_png(std::vector<std::uint32_t>& pixels, int width, int height);

} // namespace downball::preview
