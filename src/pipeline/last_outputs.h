// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"

#include <map>
#include <string>
#include <utility>
#include <vector>

namespace downball::pipeline {

// May these files be overwritten? One that is there must be as the last report (at `report_path`) left it, by
// its hash; the report itself must be one of ours. Errors: Fault::cannot_write, naming the first such file.
Result<void> may_overwrite(const std::string& report_path, const std::vector<std::string>& paths);

// Outputs of the last report that stand as it left them and are none of `paths`: file name, hash.
std::vector<std::pair<std::string, std::string>> left_standing(const std::string& report_path,
                                                               const std::vector<std::string>& paths);

// Is the file at `path` one that the last run wrote, and as it left it?
bool stands_as_written(const std::string& report_path, const std::string& path);

} // namespace downball::pipeline
