// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/coverage/coverage.h"
#include "downball/job/job.h"

namespace downball::pipeline {

// What a job's coverage is counted over. `log` and `cut` outlive it; `cut` may be nothing.
coverage::Footage footage_to_cover(const job::Job& job, const ShotLog& log, const LastCut* cut);

} // namespace downball::pipeline
