// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"

#include <cstdint>
#include <string>
#include <vector>

namespace downball::media {

// A WAV file of 24-bit samples as it will stand on the disk. `samples` are interleaved, -2^23 ... 2^23 - 1.
// Errors: more than the 4 GiB that the format can hold.
Result<std::string> wav_bytes(const std::vector<std::int32_t>& samples, int channels, int rate_hz);

} // namespace downball::media
