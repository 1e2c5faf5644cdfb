// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/media/peaks.h"

#include "downball/media/audio_reader.h"

namespace downball::media {

Result<std::vector<float>> song_peaks(const MediaInfo& song, double from_s, double to_s, std::size_t count,
                                      const LongWork& work, bool* broke_off) {
    auto reader = AudioReader::open(song.path, {.song = true});
    if (!reader) return reader.error();
    // A song with pictures is counted from the first of them.
    const double zero_s = song.has_video && song.audio ? song.audio->first_s : 0;
    const double hz = reader->rate_hz(), from = (from_s - zero_s) * hz;
    PeakBins bins((to_s - from_s) * hz, count);
    double at = -from;
    for (;;) {
        if (work.stop_asked()) return stopped_in_time();
        const auto block = reader->read();
        if (!block) return block.error();
        if (block->frames == 0 || at >= (to_s - from_s) * hz) {
            if (broke_off) *broke_off = reader->broke_off();
            return bins.take();
        }
        for (const float* channel : block->channels)
            for (std::size_t n = 0; n < block->frames; ++n)
                bins.add(at + static_cast<double>(n), static_cast<double>(channel[n]));
        at += static_cast<double>(block->frames);
    }
}

} // namespace downball::media
