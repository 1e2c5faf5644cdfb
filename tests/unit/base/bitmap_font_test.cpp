// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "bitmap_font.h"
#include "support/catch.h"

#include <set>
#include <string>
#include <vector>

using downball::sample::inked;

namespace {

std::vector<bool> cells(char character) {
    std::vector<bool> drawn;
    for (int row = 0; row < 7; ++row)
        for (int column = 0; column < 5; ++column)
            drawn.push_back(inked(character, column, row));
    return drawn;
}

} // namespace

TEST_CASE("no two characters are drawn alike, and others are blank") {
    const std::string drawn = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-._+()";
    std::set<std::vector<bool>> seen{cells(' ')};
    for (const char c : drawn)
        seen.insert(cells(c));
    CHECK(seen.size() == drawn.size() + 1);
    CHECK(cells('a') == std::vector<bool>(35));
    CHECK(cells('\xe4') == std::vector<bool>(35));
    CHECK_FALSE(inked('E', -1, 0));
    CHECK_FALSE(inked('E', 5, 0));
    CHECK_FALSE(inked('E', 0, 7));
    CHECK(inked('L', 4, 6));
    CHECK_FALSE(inked('L', 4, 0));
}
