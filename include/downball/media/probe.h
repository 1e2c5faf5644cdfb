// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/model/media_info.h"

#include <string>

namespace downball::media {

// Raised whenever the same file may be told otherwise: kept results go by it.
inline constexpr int probe_version = 1;

struct ProbeOptions {
    bool id = true; // without it MediaInfo::id stays empty, and the content need not be read for it
};

// Reads what a file says of itself; decodes only what the container leaves open. A file without video and
// audio, or one that is no media at all, is Fault::bad_input.
Result<MediaInfo> probe(const std::string& path, const ProbeOptions& options = {});

// Names and versions of the libraries in use, for --version.
std::string library_versions();

} // namespace downball::media
