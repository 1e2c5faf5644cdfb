// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/value.h"

#include <optional>

namespace downball::solve {

// What can be seen without a search: nothing to cut, limits that contradict each other or ask for more than
// the log holds. Nothing if no such reason is found.
std::optional<Conflict> plain_conflict(const Setting& setting);

// A smallest set of limits that cannot be met together, found by leaving out one after the other (deletion
// filter, Chinneck and Dravnieks 1991). To be asked only when no cut was found.
Conflict conflict_by_search(const Problem& problem, bool proven, const LongWork& work);

} // namespace downball::solve
