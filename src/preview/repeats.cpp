// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/preview/repeats.h"

#include "preview/shown.h"

#include <algorithm>

namespace downball::preview {

std::int64_t repeated_pictures(const VideoEvent& event, const TimelineMedia& media, const FrameTable& frames,
                               Rate list) {
    if (!frames.constant && frames.shown_s.empty()) return 0;
    // A constant rate is reckoned without rounding: an instant may lie just where a picture begins.
    const auto picture_at = [&](Fraction media_s) {
        return frames.constant ? std::max<std::int64_t>(0, floor(media_s * frames.constant->value()))
                               : frames.picture_at(media_s.to_double());
    };
    std::int64_t repeated = 0, before = -1;
    for (const Fraction at : shown_s(event, media, list)) {
        const auto picture = picture_at(at);
        repeated += picture == before;
        before = picture;
    }
    return repeated;
}

} // namespace downball::preview
