// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/value.h"

#include <optional>

namespace downball::solve {

// Why there is no cut, as far as it can be seen without a search: nothing to cut, limits that contradict each
// other or ask for more than the log holds.
struct Reason {
    std::vector<std::string> facts;      // in the user's words
    std::vector<std::string> said{};     // limits, in the words of Movable, that the facts have said already
    std::vector<std::string> remedies{}; // what no limit can say
    bool movable = true;                 // other limits may do
    bool says_length = false;            // the facts say how long the cut is
};
// Nothing if no such reason is found.
std::optional<Reason> plain_reason(const Setting& setting);

// Record frames nearest to the lock's at which its shot can begin by itself, at most `most`.
std::vector<std::int64_t> frames_for_lock(const Problem& problem, const Lock& lock, std::size_t most);

} // namespace downball::solve
