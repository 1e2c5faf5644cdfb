// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <cstdint>
#include <utility>
#include <vector>

namespace downball::media {

// A picture as YUV 4:2:0, ITU-R BT.709, limited range (black 16, white 235). Width and height are even; planes
// Y, U, V follow one another without padding, U and V of half the width and height.
struct Picture {
    int width = 0, height = 0;
    std::vector<std::uint8_t> bytes;

    Picture() = default;
    // All of one grey; 16 is black.
    Picture(int wide, int high, std::uint8_t grey = 16);

    struct Plane {
        std::uint8_t* data;
        int width, height; // width = bytes from a row to the next
    };
    Plane plane(int which);
    struct ConstPlane {
        const std::uint8_t* data;
        int width, height;
    };
    ConstPlane plane(int which) const;
};

inline Picture::Picture(int wide, int high, std::uint8_t grey)
    : width(wide), height(high),
      bytes(static_cast<std::size_t>(wide) * static_cast<std::size_t>(high) * 3 / 2, 128) {
    for (std::size_t i = 0; i < static_cast<std::size_t>(wide) * static_cast<std::size_t>(high); ++i)
        bytes[i] = grey;
}

inline Picture::Plane Picture::plane(int which) {
    const auto [data, wide, high] = std::as_const(*this).plane(which);
    return {bytes.data() + (data - bytes.data()), wide, high};
}

inline Picture::ConstPlane Picture::plane(int which) const {
    const auto luma = static_cast<std::size_t>(width) * static_cast<std::size_t>(height);
    if (which == 0) return {bytes.data(), width, height};
    return {bytes.data() + luma + (which == 2 ? luma / 4 : 0), width / 2, height / 2};
}

} // namespace downball::media
