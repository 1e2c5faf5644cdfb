// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "media/ffmpeg.h"

#include "downball/base/result.h"

#include <cstddef>

namespace downball::media {

// The AAC encoder of movies: stereo, movie_hz, planar floats.
Result<CodecPtr> open_sound_encoder();

// An empty frame for it of so many samples; null if there is no memory.
FramePtr sound_frame(const AVCodecContext& encoder, std::size_t samples, std::int64_t at);

} // namespace downball::media
