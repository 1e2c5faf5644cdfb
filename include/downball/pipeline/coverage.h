// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/coverage/coverage.h"
#include "downball/pipeline/talk.h"

#include <string>

namespace downball::pipeline {

struct Covered {
    std::string job; // its name
    coverage::Coverage coverage;
    match::Facts match_facts;       // of the job
    std::vector<std::string> notes; // of the log
};

// What the log of a job shows, and its last cut: of several lengths or versions the first that has a report. `job` is
// job.json or its folder. Clips that are gone count by what the log tells of them. Clips that nobody listened to yet are listened to, since contacts tell skills.
Result<Covered> cover(const std::string& job, const Talk& talk);

} // namespace downball::pipeline
