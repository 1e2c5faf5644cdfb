// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/long_work.h"
#include "downball/base/result.h"
#include "downball/media/audio_reader.h"

#include <cstddef>
#include <string>

namespace downball::analysis {

// Errors of a stage know nothing of files; this one says which file it was.
inline Error at_file(Error error, const std::string& path) {
    error.where = error.where.empty() ? path : path + ", " + error.where;
    return error;
}

// Feeds a whole file to a finder, block by block; gives its length in samples a channel.
template <class Finder>
Result<std::size_t> feed(Finder& finder, media::AudioReader& reader, const LongWork& work) {
    std::size_t frames = 0;
    while (true) {
        if (work.stop_asked()) return stopped_in_time();
        auto block = reader.read();
        if (!block) return block.error();
        if (block->frames == 0) return frames;
        frames += block->frames;
        if (auto pushed = finder.push(*block); !pushed) return pushed.error();
    }
}

} // namespace downball::analysis
