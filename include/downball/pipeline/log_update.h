// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/pipeline/talk.h"

#include <string>
#include <vector>

namespace downball::pipeline {

struct GoneFile {
    std::string file; // as rows name it
    std::string near; // what else has its name, in words; as a rule empty
};

struct LogChange {
    std::string log;            // path of log.csv
    std::string job;            // path of job.json
    std::size_t clips = 0;      // found in the footage folders, or where rows say
    std::size_t listened = 0;   // of these
    std::size_t added = 0;      // rows
    std::vector<GoneFile> gone; // files that rows name and nobody finds
    bool written = false;       // false = the log was up to date already
};

// Brings log.csv up to date with the footage folders of the job; rows, columns and cells of the user's stay.
// Rows whose file lies elsewhere now get the new place. Errors: several files may be the one that a row names.
Result<LogChange> update_log(const std::string& job, const Talk& talk);

} // namespace downball::pipeline
