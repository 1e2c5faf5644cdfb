// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/pipeline/log_update.h"
#include "downball/pipeline/talk.h"

#include <string>

namespace downball::pipeline {

struct NewJob {
    std::string footage; // a folder, or a clip
    std::string song;
    std::string into = "."; // folder for job.json and log.csv
    std::string name;       // of the job; empty = the footage folder's
    std::string
        copy_to; // the footage is copied into a folder of its name here; empty = it is read where it lies
};

// Starts a job: job.json for the song and the footage folder, and log.csv with a row a clip. Errors: no clips, no
// song, a job.json or log.csv that is there already (Fault::cannot_write), a name that no file can have (Fault::usage);
// whatever keeps the footage from being copied, all of it.
Result<LogChange> start_job(const NewJob& wanted, const Talk& talk);

} // namespace downball::pipeline
