// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/solve/solve.h"

#include <functional>
#include <span>
#include <string>
#include <vector>

namespace downball::solve {

// Limits and log as they are while some limits are moved.
struct Moved {
    Limits limits;
    ShotLog log;
};

// A limit that can be left out, or moved in steps away from what is asked.
struct Movable {
    // nested: each step allows all that the step before allows; way: each goes farther, most allow more;
    // values: the nearest first.
    enum class Steps { nested, way, values };

    std::string words;
    std::function<void(Moved&)> drop{}; // none: cannot be left out
    std::string dropped{};              // how one would say that
    int steps = 0;
    std::function<void(Moved&, int)> loosen{}; // 1..steps
    std::function<std::string(int)> loosened{};
    Steps kind = Steps::nested;
};

// All that the problem asks, those asked on purpose first; the length apart, which can be cut down or drawn out.
std::vector<Movable> movable_limits(const Problem& problem);
std::vector<Movable> movable_length(const Problem& problem);

// What becomes of a limit: 0 = it stays as asked, limit_dropped, or one of its steps.
constexpr int limit_dropped = -1;
Moved moved(const Problem& problem, std::span<const Movable> limits, std::span<const int> steps);

// How limits are said, where other sentences may say them too.
std::string said_at_least(int least, const std::string& shots);
std::string said_at_most(int most, const std::string& shots);
std::string said_must(const std::string& take);
std::string said_lock(const Lock& lock);
std::string said_cut_on(CutOn on);
std::string plural(const std::string& shots); // of the next two
std::string shots_of_player(const std::string& player);
std::string shots_with_skill(Skill skill);

} // namespace downball::solve
