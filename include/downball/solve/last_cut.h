// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/solve/solve.h"

#include <cstddef>
#include <string>
#include <vector>

namespace downball::solve {

// A cut as the one to stay near to. `plan` belongs to `problem`.
LastCut as_last_cut(const Problem& problem, const CutPlan& plan);

// That cut as one to differ from in at least this share of its shots.
OtherCut differ_from(const LastCut& cut, const std::string& name, double share);

// What became of the shots of a cut in the next one. Shots are told by their id, those without contact by their take.
struct CutChange {
    enum class What { stayed, moved, left, came };
    What what = What::stayed;
    std::size_t before = 0; // index in the earlier cut; of a shot that came: 0
    std::size_t now = 0;    // index in the later cut; of a shot that left: 0
};

// By place in the cuts, of each shot of either cut. A shot stays that hangs within half a frame of where it hung and
// runs at the same speed.
std::vector<CutChange> cut_changes(const LastCut& before, const LastCut& now, Rate rate);

} // namespace downball::solve
