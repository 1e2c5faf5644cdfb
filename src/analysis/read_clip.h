// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/analysis/found.h"
#include "downball/base/long_work.h"
#include "downball/base/result.h"

#include <string>

namespace downball::analysis {

// Reads a clip once: what it says of itself, without its id, and with `listen` what is heard in it from confidence
// `floor` up. Errors: as media::probe(); a request to stop.
Result<ClipFound> read_clip(const std::string& path, bool listen, double floor, const LongWork& work);

} // namespace downball::analysis
