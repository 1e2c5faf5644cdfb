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
    double error_s = 0;      // positive = the picture is late
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

// What a player of the log is called: the name in the roster, or else the id.
std::string name_of(const PageInput& input, const std::string& player);

std::vector<Shown> shots_of(const PageInput& input);

} // namespace downball::page
