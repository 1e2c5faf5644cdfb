// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/media/probe.h"

#include "downball/media/clip_reader.h"

namespace downball::media {

Result<MediaInfo> probe(const std::string& path, const ProbeOptions& options) {
    auto clip = ClipReader::open(path, {.id = options.id});
    if (!clip) return clip.error();
    return clip->finish();
}

} // namespace downball::media
