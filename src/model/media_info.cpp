// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/model/media_info.h"

#include <algorithm>

namespace downball {

std::int64_t FrameTable::picture_at(double seconds) const {
    if (constant) return std::max<std::int64_t>(0, frame_at(seconds, *constant).n);
    const auto next = std::ranges::upper_bound(shown_s, seconds + 1e-9);
    return std::max<std::int64_t>(0, next - shown_s.begin() - 1);
}

double times_slower(const MediaInfo& media, std::optional<double> capture_fps) {
    const double shown_fps = media.rate ? media.rate->per_second() : media.average_fps;
    return capture_fps && shown_fps > 0 ? *capture_fps / shown_fps : 1;
}

} // namespace downball
