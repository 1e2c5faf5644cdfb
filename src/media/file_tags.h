// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "media/input.h"

#include "downball/model/media_info.h"

namespace downball::media {

// What a file's tags say of when and by what it was recorded; `picture` may be null.
void read_tags(const Input& input, const AVStream* picture, MediaInfo& info);

// The start label and the reel that the camera wrote; the rate of the pictures is in `info`, if it is known.
void read_start(const Input& input, const AVStream* picture, MediaInfo& info);

// The first sample's time of day in a broadcast recorder's file of sound alone; its sound's rate is in `info`.
void read_time_of_day(const Input& input, MediaInfo& info);

} // namespace downball::media
