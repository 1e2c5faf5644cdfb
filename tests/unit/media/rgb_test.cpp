// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/media/rgb.h"

#include <algorithm>
#include <utility>

using namespace downball;

TEST_CASE("pixels have the colours of the picture") {
    // 75 % bars by the formulas of ITU-R BT.709-6, tables 3 and 4: Y, CB, CR of 8 bits, and R'G'B'.
    struct Bar {
        std::uint8_t y, u, v;
        std::uint32_t rgb;
    };
    for (const Bar& bar :
         {Bar{16, 128, 128, 0x000000}, Bar{235, 128, 128, 0xffffff}, Bar{180, 128, 128, 0xbfbfbf},
          Bar{168, 44, 136, 0xbfbf00}, Bar{134, 63, 52, 0x00bf00}, Bar{51, 109, 212, 0xbf0000},
          Bar{28, 212, 120, 0x0000bf}}) {
        media::Picture picture(6, 4, bar.y);
        for (const auto& [plane, value] : {std::pair{1, bar.u}, std::pair{2, bar.v}})
            std::fill_n(picture.plane(plane).data, 6, value);
        const auto pixels = media::to_rgb(picture);
        REQUIRE(pixels);
        REQUIRE(pixels->size() == 24);
        for (const auto pixel : *pixels)
            for (const int shift : {24, 16, 8, 0})
                CHECK(static_cast<int>(pixel >> shift & 0xff) ==
                      Approx(static_cast<int>(bar.rgb >> shift & 0xff)).margin(3));
    }
}

TEST_CASE("pixels stand row by row from the top left") {
    media::Picture picture(4, 2);
    picture.plane(0).data[1] = picture.plane(0).data[4] = 235;
    const auto pixels = media::to_rgb(picture);
    REQUIRE(pixels);
    for (std::size_t i = 0; i < 8; ++i)
        CHECK(((*pixels)[i] > 0x808080) == (i == 1 || i == 4));
}
