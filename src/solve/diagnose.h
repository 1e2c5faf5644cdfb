// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/value.h"

#include <optional>

namespace downball::solve {

// What can be seen without a search: nothing to cut, limits that contradict each other or ask for more than
// the log holds. Nothing if no such reason is found. With `movable`, other limits may do: the remedies hold
// only what no limit can say, and remedies_by_search() knows the rest.
struct PlainConflict {
    Conflict conflict;
    bool movable = false;
};
std::optional<PlainConflict> plain_conflict(const Setting& setting);

extern const char* const nothing_found; // the remedy where none was found

// Record frames nearest to the lock's at which its shot can begin by itself, at most `most`.
std::vector<std::int64_t> frames_for_lock(const Problem& problem, const Lock& lock, std::size_t most);

// A small set of limits that cannot be met together, found by leaving out the others (deletion filter,
// Chinneck and Dravnieks 1991), and changes of them that were tried and leave a cut. To be asked only when no
// cut was found.
std::vector<std::string> remedies_by_search(const Problem& problem, const LongWork& work);
Conflict conflict_by_search(const Problem& problem, bool proven, const LongWork& work);

} // namespace downball::solve
