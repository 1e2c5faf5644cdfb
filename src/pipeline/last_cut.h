// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/model/cut_plan.h"
#include "downball/model/limits.h"
#include "downball/model/shot_log.h"

#include <optional>
#include <string>
#include <vector>

namespace downball::pipeline {

// The cut that the report at this path tells of; nothing if none is there. Errors: the file is there and is no
// report that this version writes (Fault::bad_input).
Result<std::optional<LastCut>> read_last_cut(const std::string& report_path);

// What changed, for people: a line of counts, then one for each shot that left (-), came (+) or moved (>).
std::vector<std::string> tell_changes(const LastCut& before, const LastCut& now, const ShotLog& log,
                                      const Delivery& delivery);

} // namespace downball::pipeline
