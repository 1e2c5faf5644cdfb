// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/long_work.h"
#include "downball/base/result.h"
#include "downball/media/audio_reader.h"

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace downball::media {

// Samples [first, first + length) of a file's sound at some rate, counted from the reader's first sample.
struct SoundPart {
    SoundPart(std::int64_t from, std::int64_t samples, std::size_t channel_count)
        : first(from), length(samples),
          channels(channel_count, std::vector<float>(static_cast<std::size_t>(samples), 0.0f)) {}

    std::int64_t first, length;
    std::vector<std::vector<float>> channels; // silence where the file has none
};

// Fills all parts in one pass, resampled as a whole; they may overlap. All have as many channels, the first ones of
// the reader's. Errors: the reader's, a request to stop.
Result<void> read_parts(AudioReader& reader, int rate_hz, std::span<SoundPart> parts, const LongWork& work);

} // namespace downball::media
