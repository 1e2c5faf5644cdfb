// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later

#pragma once

#include <string>

namespace downball::pipeline {

// job.json for a path that is the file or its folder.
std::string job_file(const std::string& job);

// A path as written in a job or log, seen from the job's folder.
std::string from_folder(const std::string& folder, const std::string& path);

// One name for all spellings of a file that is written in a job or log: absolute, without dots and links. The
// file may be gone.
std::string file_key(const std::string& folder, const std::string& written);

// `path` as it shall stand in a file in `folder`: relative with '/' if it lies below it or beside it,
// absolute otherwise.
std::string as_written(const std::string& folder, const std::string& path);

// Is `path` inside `folder`, by whole names? Both absolute.
bool lies_below(const std::string& folder, const std::string& path);

} // namespace downball::pipeline
