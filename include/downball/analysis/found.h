// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/beat_grid.h"
#include "downball/model/heard.h"
#include "downball/model/media_info.h"

#include <optional>
#include <string>

namespace downball::analysis {

// All that was found in a clip. The hearing holds every candidate, from confidence 0 up.
struct ClipFound {
    MediaInfo media;
    std::optional<Hearing> hearing; // nothing: no sound, or nobody has listened yet
    std::string unheard;            // why the sound cannot be listened to; empty where it can
    bool doubtful = false;          // what was found must not be kept for the next run

    bool listened() const { return hearing || !unheard.empty() || !media.audio; }
};

// A song with its beats.
struct SongFound {
    MediaInfo media;
    BeatGrid beats;
};

} // namespace downball::analysis
