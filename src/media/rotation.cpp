// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/rotation.h"

#include <cmath>

extern "C" {
#include <libavutil/display.h>
}

namespace downball::media {

// The matrix is given counterclockwise.
int rotation_of(const AVStream* track) {
    const auto* matrix = av_stream_get_side_data(track, AV_PKT_DATA_DISPLAYMATRIX, nullptr);
    if (!matrix) return 0;
    const auto degrees = -av_display_rotation_get(reinterpret_cast<const std::int32_t*>(matrix));
    if (std::isnan(degrees)) return 0;
    const auto quarters = static_cast<int>(std::lround(degrees / 90)) % 4;
    return (quarters + 4) % 4 * 90;
}

} // namespace downball::media
