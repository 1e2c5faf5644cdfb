// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/analysis/folder.h"
#include "downball/base/result.h"
#include "downball/job/job.h"
#include "downball/model/beat_grid.h"
#include "downball/model/media_info.h"
#include "downball/model/shot_log.h"
#include "downball/pipeline/talk.h"

#include <string>
#include <vector>

namespace downball::pipeline {

// Everything a cut is made from, read and listened to.
struct Material {
    job::Job job;
    MediaInfo song;
    BeatGrid beats;
    ShotLog log;
};

// The log with its clips; those that nobody listened to yet are listened to. Errors name every clip that is gone or cannot
// be read, not the first.
// With `keep` the rows of such clips count by what the log tells of them, with a note; nothing can be cut from that.
enum class Missing { refuse, keep };
Result<ShotLog> gather_log(const job::Job& job, analysis::Folder& kept, const Talk& talk,
                           Missing missing = Missing::refuse);

// Job, song, log and clips as values; the song and the clips are listened to side by side. What is found is kept in the
// folder.
Result<Material> gather(job::Job job, analysis::Folder& kept, const Talk& talk);

// The job's analysis folder, and where it is; empty where nothing is to be kept.
std::string analysis_path(const job::Job& job);
analysis::Folder analysis_folder(const job::Job& job);
// What the folder has to say at the end.
void tell(analysis::Folder& kept, const Talk& talk);

// Contacts are listened for from this confidence up: the tool's threshold, or the job's if that is lower.
double listening_floor(const job::Job& job);

// Where files of the log that are not there may lie: the footage folders, the log's and the job's.
std::vector<std::string> search_folders(const job::Job& job);

// The job alone, its folder filled in.
Result<job::Job> load_job(const std::string& job_path);

} // namespace downball::pipeline
