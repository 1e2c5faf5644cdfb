// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/long_work.h"
#include "downball/base/result.h"
#include "downball/model/preview_form.h"
#include "downball/model/timeline.h"
#include "downball/model/warning.h"
#include "downball/preview/flashes.h"

#include <cstdint>
#include <string>
#include <vector>

namespace downball::preview {

struct Options {
    PreviewForm form = {};
    // All natural sound together, so much quieter than the song. Cameras record at any level, so a fixed gain would
    // bury the hits of one job and drown the song of another; 6 LU under it, wind and surf stay behind the music while
    // a hit, which rises by 10 dB and more over its own mean, is heard (common practice, no source). Less where a hit
    // would peak higher than the song.
    double natural_under_song_lu = 6;
};

struct Made {
    std::int64_t frames = 0;
    double lufs = -70;         // of the movie as it is heard, -70 = silent
    double true_peak_db = -70; // dBTP, of the same
    std::vector<FlashStretch>
        flashes;                   // where too much of the movie flashes, see flashes.h; a note tells each
    std::vector<FrameRange> black; // where it is black and not meant to be, see still_pictures.h; told so too
    std::vector<FrameRange> frozen; // where it stands still and is no slate; told so too
    std::vector<Warning> notes;
};

// The cut as a small movie, by what the events of the timeline say and nothing else: record frame k of an event
// shows the last picture with presentation time <= source in + (k + 1/2)/rate x speed, and sound lies on the sample
// of 48 kHz nearest to its record frame. One gain for the whole brings it to the target loudness, less where its
// true peak would pass -1 dBTP. A picture that cannot be decoded is a slate with the file's name, and a note.
// In a tall or square movie each event's picture is filled in and cut off around its crop_centre.
// Memory: a bounded number of pictures; of sound, the whole reel, 0.8 MB a second, and what is coded before it is made.
// The same timeline and media give the same bytes. Written under another name until it is whole.
// Errors: the song cannot be read, the movie cannot be written, no threads to be had, a request to stop.
Result<Made> make_preview(const Timeline& timeline, const std::string& path, const Options& options = {},
                          const LongWork& work = {});

} // namespace downball::preview
