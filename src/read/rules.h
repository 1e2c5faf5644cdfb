// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/read/cut_list.h"

#include <vector>

namespace downball::read {

// Rule 5, of both forms: one to eight of A-Z and 0-9.
bool good_reel(std::string_view reel);

struct EventNumber {
    std::size_t line = 0;
    int number = 0; // below 0: the line is no event
};

// Rules of an EDL that need more than one of its lines: numbers, lengths, reels and files, tracks.
void check_whole(CutList& list, const std::vector<EventNumber>& numbers);

} // namespace downball::read
