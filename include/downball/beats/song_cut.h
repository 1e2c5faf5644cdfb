// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/model/beat_grid.h"
#include "downball/model/song_cut.h"

#include <optional>

namespace downball::beats {

// A cut enters a song this much ahead of the beat it begins on, and leaves and enters again so at a jump: the
// attack is then whole, and the crossfade lies in the quiet before it. 25 ms: longer than an attack takes to
// rise and than a beat may be off.
inline constexpr double ahead_of_beat_s = 0.025;

struct SongWish {
    std::optional<double> length_s;  // nothing = to the song's end
    bool jump = true;                // may it jump once?
    std::optional<double> start_s{}; // media seconds of the song; nothing = the best border
    double longest_rest_s = 4; // without a beat, at either end: pictures change on beats, and want to change
};

// The song cut to a wanted length. It begins on a border of a phrase (else a section, a bar, a beat) or with
// the song; it keeps the arrival wherever that can be, with a build before it; it ends with the song's own
// ending, or on a border of the form and then in a short fade, which takes what is left of the wanted length.
// A jump joins two bars that stand at one place of their phrases, that sound alike and are equally quick.
//
// length_s() + silence_s is the wanted length, unless the song is too short for it; silence lasts a bar at
// most. The same grid and wish give the same cut. Errors (Fault::bad_input): a start behind the song's end, a
// length of nothing.
Result<SongCut> cut_song(const BeatGrid& grid, const SongWish& wish);

// The grid of the song as cut, on its own clock: zero is its first sample. Beats keep their spacing; at a jump
// the beat that would have come next is the one that comes. Sections and phrases that a jump leaves whole stay
// whole; the arrival is the first one heard.
BeatGrid cut_grid(const BeatGrid& grid, const SongCut& cut);

} // namespace downball::beats
