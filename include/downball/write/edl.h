// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/model/timeline.h"

#include <string>
#include <vector>

namespace downball::write {

struct EdlOptions {
    bool crlf = true;
    bool parts_from_start = false; // each list of several begins at the start label
    bool markers = true;           // contacts and sections as "* LOC:" comments
};

// One CMX3600-style list, or several where the cut has more than 999 events: each can be imported alone and has
// its own stretch of the song; the record timecode runs on if nothing else is asked for. Events stand in record
// order; at one frame picture comes before song before natural sound. Errors: a timecode or speed that cannot be
// written.
Result<std::vector<std::string>> edl(const Timeline& timeline, const EdlOptions& options = {});

// The number an M2 line carries: frames a second of source played, in the list's rate, to one decimal.
double m2_number(Fraction speed, Rate list_rate);

} // namespace downball::write
