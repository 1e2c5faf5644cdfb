// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/media/picture.h"

#include <cstdint>
#include <vector>

namespace downball::media {

// Pixels 0x00RRGGBB, row by row. The same on every machine; any number of threads may call it. Errors: no memory.
Result<std::vector<std::uint32_t>> to_rgb(const Picture& picture);

} // namespace downball::media
