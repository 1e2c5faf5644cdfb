// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/solve/solve.h"

#include <functional>
#include <string>
#include <vector>

namespace downball::solve {

// Limits and log as they are while some limits are moved.
struct Moved {
    Limits limits;
    ShotLog log;
};

// A limit that can be left out, or moved in steps away from what is asked: step 0 is the limit as it is.
struct Movable {
    std::string words;
    std::function<void(Moved&)> drop;
    std::string dropped; // how one would say that
    int steps = 0;
    std::function<void(Moved&, int)> loosen{}; // 1..steps; each step allows all that the step before allows
    std::function<std::string(int)> loosened{};
    bool nested = true; // false: the steps are only other values, the nearest first
};

// All that the problem asks, but for the length, which comes last and apart.
std::vector<Movable> movable_limits(const Problem& problem);
Movable movable_length(const Problem& problem);

} // namespace downball::solve
