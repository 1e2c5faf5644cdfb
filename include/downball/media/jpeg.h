// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/media/picture.h"

#include <string>

namespace downball::media {

// A JPEG file of the picture, its colours BT.601 over the full range as JFIF 1.02 has them, chroma halved. `quality`
// from 1, smallest, to 100, best, is this encoder's own scale. The same picture gives the same bytes. Any number of
// threads may call it. Errors: no encoder, no memory.
Result<std::string> to_jpeg(const Picture& picture, int quality);

} // namespace downball::media
