// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "media/ffmpeg.h"

#include "downball/media/picture.h"

namespace downball::media {

// The picture in another form, as large: R'G'B', or Y'CbCr of BT.601 over the full range, as JFIF has it. Bit for bit
// the same on every machine. Null: no memory.
FramePtr convert_picture(const Picture& picture, AVPixelFormat to);

} // namespace downball::media
