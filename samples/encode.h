// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "picture.h"

#include "downball/base/result.h"

#include <string>

namespace downball::sample {

// Writes one take's file below `folder` by feeding the `ffmpeg` program with raw pictures and a WAV file.
Result<void> encode_take(Take& take, const Scenario& scenario, const Crowd& crowd, const std::string& folder);

// "15:22:10:07" at the rate of the container.
std::string start_label(const Take& take);

} // namespace downball::sample
