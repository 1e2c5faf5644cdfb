// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/long_work.h"
#include "downball/base/result.h"
#include "downball/model/media_info.h"
#include "downball/model/song_cut.h"

#include <cstdint>
#include <string>
#include <vector>

namespace downball::media {

inline constexpr int cut_song_hz = 48000;

// Raised whenever the same song and cut may give other bytes or peaks: kept results go by it.
inline constexpr int cut_song_version = 1;

// A finished sound file, not yet on the disk.
struct CutSongFile {
    std::string bytes; // WAV, 48 kHz, 24 bit, as many channels as the song has
    std::string id;    // of the content, as probe() would give it
    int channels = 0;
    double gain_db = 0;       // 0, or how far all of it was turned down so that no sample is clipped
    std::vector<float> peaks; // drawn_peaks of them, see media/peaks.h
    bool broke_off = false;   // reading the song failed half-way, as of a worn disk: the rest is silence
};

// The song as cut, of exactly `samples` samples; silence where the cut is over sooner. Pieces begin and end on
// the sample of 48 kHz nearest to their instants; a song of another rate is resampled as a whole, so that
// piece samples are those of the resampled song. Crossfade: its gains keep the power at each instant for the
// likeness that both sides have there (see the source). No dither: rounding to 24 bit is below any song's noise.
// Peaks over full scale, which resampling makes of loud masters, are turned down with all the rest, not clipped.
// The same song and cut give the same bytes.
// Errors: a song of more than two channels, which no fixed mix to stereo would suit; a file that a WAV cannot
// hold (over 4 GiB); whatever decoding meets; a request to stop.
Result<CutSongFile> cut_song_file(const MediaInfo& song, const SongCut& cut, std::int64_t samples,
                                  const LongWork& work = {});

} // namespace downball::media
