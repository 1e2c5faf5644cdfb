// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "unit/media/clips.h"

#include "downball/media/picture.h"

// Clips whose pictures tell their number: bar n from the left is white where bit n of it is set.
namespace downball::test {

inline constexpr int counter_bits = 10;

inline std::string counter(const std::string& rate, double seconds = 2, int width = 160, int height = 90) {
    return fmt::format(
        "-f lavfi -i \"nullsrc=s={}x{}:r={}:d={},format=gray,geq=lum='255*mod(floor(N/pow(2\\,floor(X/{}"
        ")))\\,2)'\" -pix_fmt yuv420p ",
        width, height, rate, seconds, width / counter_bits);
}

// The number in a picture that shows the bars over its whole width, at half its height.
inline int number_in(const media::Picture& picture) {
    const int width = picture.width / counter_bits;
    int number = 0;
    for (int bit = 0; bit < counter_bits; ++bit) {
        const auto at = picture.height / 2 * picture.width + bit * width + width / 2;
        if (picture.bytes[static_cast<std::size_t>(at)] > 127) number += 1 << bit;
    }
    return number;
}

} // namespace downball::test
