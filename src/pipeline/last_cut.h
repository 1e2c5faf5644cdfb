// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/model/cut_plan.h"
#include "downball/model/limits.h"
#include "downball/model/shot_log.h"
#include "downball/write/report.h"

#include <optional>
#include <string>
#include <vector>

namespace downball::pipeline {

// What a report tells of the run that wrote it.
struct LastRun {
    LastCut cut;
    std::optional<write::FromList> from;
};

// That of the report at this path; nothing if none is there. Errors: the file is there and is no report that this version
// reads (Fault::bad_input); it reads those of earlier ones.
Result<std::optional<LastRun>> read_last_run(const std::string& report_path);

// What changed, for people: a line of counts, then one for each shot that left (-), came (+) or moved (>). `since`: what the
// earlier one is called.
std::vector<std::string> tell_changes(const std::string& since, const LastCut& before, const LastCut& now,
                                      const ShotLog& log, const Delivery& delivery);

} // namespace downball::pipeline
