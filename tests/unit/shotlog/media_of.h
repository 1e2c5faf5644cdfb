// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/media_info.h"

#include <string>

namespace downball {

// A clip as a probe would tell of it: constant rate, with sound.
inline MediaInfo media_of(const std::string& name, double duration_s = 10, Rate rate = Rate(25)) {
    MediaInfo media;
    media.path = media.name = name;
    media.id = name;
    media.duration_s = duration_s;
    media.has_video = true;
    media.rate = rate;
    media.frames.constant = rate;
    media.average_fps = rate.per_second();
    media.audio = AudioInfo{48000, 2, 0, duration_s};
    return media;
}

} // namespace downball
