// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "media/ffmpeg.h"

namespace downball::media {

// Degrees clockwise to turn the track's pictures for showing: 0, 90, 180 or 270.
int rotation_of(const AVStream* track);

} // namespace downball::media
