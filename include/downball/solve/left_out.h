// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/solve/solve.h"

#include <cstddef>
#include <string>
#include <vector>

namespace downball::solve {

struct LeftOut {
    std::size_t take; // index in ShotLog::takes
    std::string why;  // for people
};

// Why each take that the cut does not show was left out, in the order of the log: what forbids it in any cut, or else
// what of this cut stands in its way. Where nothing does, other shots scored higher. `plan` keeps the limits.
std::vector<LeftOut> left_out(const Problem& problem, const CutPlan& plan);

} // namespace downball::solve
