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

// What the last run of this job delivered, if it was made from that and its files still stand.
std::optional<std::vector<Delivered>> same_run(const std::string& job_path, const RunTexts& texts,
                                               analysis::Folder& kept);

// For the next run. Nothing is kept of a run without a cut, or in which a file was seen to change.
void remember_run(const std::string& job_path, const RunTexts& texts, const std::vector<Delivered>& delivered,
                  analysis::Folder& kept);

} // namespace downball::pipeline
