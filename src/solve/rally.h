// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/stock.h"

#include <array>

namespace downball::solve {

inline constexpr std::size_t most_held = 4; // contacts in one shot, whatever Rally::contacts_max says

// A rally on the beat: at the record frame of each slot the shot shows that source frame, in real time before
// the first and after the last, at one speed between two. See solve.h for how beats and source frames follow from the
// first beat.
struct OnBeats {
    struct Hold {
        std::size_t slot = 0;
        std::int64_t source = 0;
        double error = 0; // record frames; positive = picture late
    };
    std::array<Hold, most_held> holds;
    std::size_t count = 0;

    const Hold& first() const { return holds[0]; }
    const Hold& last() const { return holds[count - 1]; }
};

// Nothing if a contact finds no beat at an allowed speed, or not within half a frame. `play` holds more than one.
std::optional<OnBeats> on_beats(const Grid& grid, const Clip& clip, const Play& play, const Slot& first);

// The parts of a shot of it; those that follow one another in real time are one.
std::vector<Stretch> stretches(const Grid& grid, const OnBeats& rally, FrameRange record);

// Plays that hold two and more successive contacts of the clip, with the source frames they need inside it.
void add_rally_plays(const Problem& problem, const Grid& grid, std::size_t clip, Stock& stock);

} // namespace downball::solve
