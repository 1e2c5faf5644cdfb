// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/media/rgb.h"

#include "media/convert_picture.h"

#include <cstring>

namespace downball::media {

Result<std::vector<std::uint32_t>> to_rgb(const Picture& picture) {
    const auto frame = convert_picture(picture, AV_PIX_FMT_0RGB32);
    if (!frame) return Error{Fault::internal, "no memory to turn a picture into R'G'B'", ""};
    const auto width = static_cast<std::size_t>(picture.width);
    std::vector<std::uint32_t> pixels(width * static_cast<std::size_t>(picture.height));
    for (int y = 0; y < picture.height; ++y)
        std::memcpy(pixels.data() + static_cast<std::size_t>(y) * width,
                    frame->data[0] + static_cast<std::ptrdiff_t>(y) * frame->linesize[0], 4 * width);
    for (auto& pixel : pixels)
        pixel &= 0xffffff; // the fourth byte may be anything
    return pixels;
}

} // namespace downball::media
