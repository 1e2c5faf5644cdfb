// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/solve/solve.h"

#include <variant>
#include <vector>

namespace downball::solve {

// One of movables() moved to a step, see moved().
struct Change {
    std::size_t limit = 0;
    int step = 0;
};

// A Conflict with the limits behind its words, as their places in movables().
struct Diagnosis {
    Conflict conflict;
    // Limits that cannot be met together, even if all other limits that can be moved are left out; each with a
    // change after which the others of them can.
    std::vector<Change> members;
    bool minimal = true;          // that was shown of every member; false: some may be needless
    std::vector<Change> alone;    // changes that do, each by itself
    std::vector<Change> together; // ... or all together, where none does by itself but of the length
};

// movable_limits(), then movable_length(), which stands for one limit.
struct Movable;
std::vector<Movable> movables(const Problem& problem);

// solve() with what its conflict means.
std::variant<CutPlan, Diagnosis> cut_or_diagnosis(const Problem& problem, const LongWork& work = {});

// A minimal set of limits that cannot be met together, found by leaving out the others (deletion filter,
// Chinneck and Dravnieks 1991), and changes of them that were tried and leave a cut. To be asked only when no
// cut was found; `proven`: when there is none.
Diagnosis diagnose(const Problem& problem, bool proven, const LongWork& work);

} // namespace downball::solve
