// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/solve/solve.h"

#include <cstdint>
#include <optional>
#include <vector>

namespace downball::solve {

// A place of the record timeline on which a shot can be hung: an action by its contact, any other shot by
// its first frame. Frames are record frames at the list rate.
struct Slot {
    std::int64_t frame = 0; // nearest frame of the instant
    double at = 0;          // the instant itself, in frames
    int beat = -1;          // index in BeatGrid::beats; -1 for a subdivision or the bare start
    bool plain = false;     // a shot that is no action may begin here
    double strength = 0;
    double energy = 0;
    double wanted = 0; // shot length the energy asks for, in frames
    double unit = 0;   // what one cut here weighs in the score: wanted / length
    double calm = 0;   // cost of an action here: the start of a calm section asks for a break
};

// The limits of time in whole frames, and the slots in order. slots[0] is the first record frame.
struct Grid {
    Rate rate;
    double fps = 25;
    std::int64_t length = 0;
    std::int64_t shortest = 1, longest = 1;
    std::int64_t shortest_cutaway = 1, shortest_slow = 1; // between shortest and longest
    std::int64_t lead_min = 0, lead_max = 0;
    std::int64_t tail = 0;
    double tail_max = 0; // not below the tail
    std::int64_t handle = 0;
    std::vector<Slot> slots;
    std::vector<std::size_t> slot_of_beat; // by index in BeatGrid::beats; number of slots = not in the cut
    std::optional<std::size_t> arrival;    // slot of the song's strongest rise
    double expected_shots = 1;             // number of shots if every one had its wanted length
    std::size_t beats = 0;                 // slots that are beats

    // Longest lead allowed at a speed: slowed sources only meet a beat every 1/speed frames.
    std::int64_t lead_max_at(Fraction speed) const;
};

Grid make_grid(const Problem& problem);

} // namespace downball::solve
