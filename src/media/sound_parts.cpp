// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/media/sound_parts.h"

#include "downball/dsp/rational_resampler.h"

#include <algorithm>

namespace downball::media {

namespace {

// Copies what of `made`, which begins at sample `first`, lies in the parts.
void keep(const std::vector<float>& made, std::int64_t first, std::size_t channel,
          std::span<SoundPart> parts) {
    for (SoundPart& part : parts) {
        const auto from = std::max(first, part.first);
        const auto to = std::min(first + static_cast<std::int64_t>(made.size()), part.first + part.length);
        if (from < to)
            std::copy(made.begin() + (from - first), made.begin() + (to - first),
                      part.channels[channel].begin() + (from - part.first));
    }
}

} // namespace

Result<void> read_parts(AudioReader& reader, int rate_hz, std::span<SoundPart> parts, const LongWork& work) {
    std::int64_t last = 0;
    for (const SoundPart& part : parts)
        last = std::max(last, part.first + part.length);
    const auto channels = parts.empty() ? 0 : parts.front().channels.size();
    std::vector<dsp::RationalResampler> rates(channels, {reader.rate_hz(), rate_hz});
    std::vector<float> made;
    for (std::int64_t first = 0; first < last;) {
        if (work.stop_asked()) return stopped_in_time();
        const auto block = reader.read();
        if (!block) return block.error();
        for (std::size_t c = 0; c < channels; ++c) {
            made.clear();
            if (block->frames > 0)
                rates[c].push({block->channels[c], block->frames}, made);
            else
                rates[c].finish(made);
            keep(made, first, c, parts);
        }
        if (block->frames == 0) break;
        first += static_cast<std::int64_t>(made.size());
        work.report(std::min(1.0, static_cast<double>(first) / static_cast<double>(last)));
    }
    return {};
}

} // namespace downball::media
