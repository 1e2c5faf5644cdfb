// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/song_borders.h"

#include "downball/model/beat_grid.h"

#include <vector>

namespace downball::beats {

// Beat `leave` is left out and beat `enter` heard in its place; both are downbeats.
struct Jump {
    std::size_t leave = 0;
    std::size_t enter = 0;
    double likeness = 0;
};

// Jumps that can pass unheard: at one place of the phrase (of its four bars, in a song without two whole
// phrases), equally quick within 1 %, a bar on either side of the join alike; for each distance the best few.
// None where beats or bars are uncertain.
std::vector<Jump> likely_jumps(const BeatGrid& grid, const SongBorders& borders);

} // namespace downball::beats
