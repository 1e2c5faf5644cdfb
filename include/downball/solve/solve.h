// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/long_work.h"
#include "downball/model/beat_grid.h"
#include "downball/model/cut_plan.h"
#include "downball/model/limits.h"
#include "downball/model/shot_log.h"

#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace downball::solve {

struct Problem {
    const BeatGrid& beats;
    const ShotLog& log;
    const Limits& limits;
    double song_start_s = 0;
};

// The best cut found, with a proven limit on what any cut could score; or limits that cannot be met
// together. The same problem gives the same answer, bit for bit. A stop gives the best cut so far.
using Outcome = std::variant<CutPlan, Conflict>;
Outcome solve(const Problem& problem, const LongWork& work = {});

// Judges a cut against every hard limit, from the problem alone: shares nothing with the solver but the
// values. One sentence a breach; empty = the cut keeps all limits.
std::vector<std::string> check(const Problem& problem, const CutPlan& plan);

} // namespace downball::solve
