// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/solve/solve.h"

#include <optional>

namespace downball::bench {

// What a plain way of cutting makes of the job: shot by shot, the legal next one that scores most per record frame and
// that some legal shot can follow; never looking back. Musts, locks and quotas from below it does not know.
// Nothing where it comes to a place from which no shot goes on. The judge has the last word on what it gives.
std::optional<CutPlan> greedy_cut(const solve::Problem& problem);

} // namespace downball::bench
