// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/ffmpeg.h"

#include "downball/media/probe.h"

#include <fmt/format.h>
#include <sndfile.h>
#include <xxhash.h>

namespace downball::media {

std::string library_versions() {
    const auto dotted = [](const char* name, unsigned version) {
        return fmt::format("{} {}.{}.{}", name, AV_VERSION_MAJOR(version), AV_VERSION_MINOR(version),
                           AV_VERSION_MICRO(version));
    };
    const auto hash = XXH_versionNumber();
    const std::string sndfile = sf_version_string(); // "libsndfile-1.2.0"
    const auto dash = sndfile.rfind('-');
    return fmt::format("{}, {}, {}, {}, libsndfile {}, xxHash {}.{}.{}",
                       dotted("libavformat", avformat_version()), dotted("libavcodec", avcodec_version()),
                       dotted("libswresample", swresample_version()), dotted("libswscale", swscale_version()),
                       dash == std::string::npos ? sndfile : sndfile.substr(dash + 1), hash / 10000,
                       hash / 100 % 100, hash % 100);
}

} // namespace downball::media
