// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/analysis/folder.h"
#include "downball/job/job.h"
#include "downball/pipeline/cut.h"

#include <optional>
#include <string>
#include <vector>

namespace downball::pipeline {

// A run of `cut` is kept by all that decides it: this program, the job, the log, the content of clips and song, the
// options. When all of that is the same again and the outputs stand as they were written, the run need not be done.

// What decides a run beside the content of media.
struct RunTexts {
    std::string hash;
    std::vector<std::string> media; // paths of the song and the clips
};
// Nothing where it cannot be told, as when an edited list is taken back.
std::optional<RunTexts> texts_of_run(const std::string& job_path, const job::Job& job,
                                     const CutOptions& options);

// A hash of all that decides the run; nothing where a file is not there. With Content::known also where the folder does
// not know a file as it is: then no run can have been kept either, and no content is read for nothing.
enum class Content { known, read };
std::optional<std::string> hash_of_inputs(const RunTexts& texts, Content content, analysis::Folder& kept);

// What the last run of this job delivered, if it was made from that and its files still stand.
std::optional<std::vector<Delivered>> same_run(const std::string& job_path, const std::string& inputs,
                                               analysis::Folder& kept);

// For the next run.
void remember_run(const std::string& job_path, const std::string& inputs,
                  const std::vector<Delivered>& delivered, analysis::Folder& kept);

} // namespace downball::pipeline
