// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/read/compare.h"
#include "downball/read/cut_list.h"

namespace downball::read {

// The list as a table for reading: a headline, then a row for each event, track by track. UTF-8, aligned with blanks.
std::string table(const CutList& list);

// A breach as one line: its place, what is wrong, and the number of the rule.
std::string to_line(const Breach& breach);

// A line a difference, and at the end how many frames of each track differ, or that none does. `list`: one of the two.
std::string to_lines(const std::vector<Difference>& differences, const CutList& list);

} // namespace downball::read
