// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/page/page.h"

#include <string>
#include <vector>

namespace downball::page {

// A contact as it lies on its beat.
struct Hit {
    Frame at; // record frame that shows it
    const Impact* impact = nullptr;
    int beat_position = 0;   // in the bar, 1 = downbeat; 0 = not known
    double error_ms = 0;     // positive = the picture is late
    double error_frames = 0; // of record
};

// A shot of the reel as the page speaks of it.
struct Shown {
    int number = 1; // from 1, in record order
    const PlannedShot* plan = nullptr;
    const Take* take = nullptr;
    const TimelineMedia* media = nullptr; // nothing = black
    FrameRange record;
    Fraction slowest{1}, fastest{1}; // of its parts
    std::vector<Hit> hits;           // in record order
    std::string title;               // "attack, Mara Kjell": plain text
    std::string players;             // their names, plain text
};

std::vector<Shown> shots_of(const PageInput& input);

// What a contact is within: a sound that comes at most 45 ms before its picture and 125 ms after it is not noticed as
// out of step (Rec. ITU-R BT.1359-1).
inline constexpr double picture_late_ms = 45, picture_early_ms = 125;

} // namespace downball::page
