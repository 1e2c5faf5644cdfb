// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/places.h"

#include <filesystem>

namespace downball::pipeline {

namespace fs = std::filesystem;

std::string job_file(const std::string& job) {
    std::error_code ignored;
    return fs::is_directory(job, ignored) ? (fs::path(job) / "job.json").string() : job;
}

std::string from_folder(const std::string& folder, const std::string& path) {
    return (fs::path(folder) / path).lexically_normal().string();
}

std::string file_key(const std::string& folder, const std::string& written) {
    std::error_code problem;
    const auto path = fs::absolute(from_folder(folder, written), problem);
    const auto key = fs::weakly_canonical(path, problem);
    return (problem ? path : key).string();
}

std::string as_written(const std::string& folder, const std::string& path) {
    std::error_code problem;
    // What is not there yet stays relative if it is not made absolute first.
    const auto base = fs::weakly_canonical(fs::absolute(folder.empty() ? "." : folder, problem), problem);
    const auto target = fs::weakly_canonical(fs::absolute(path, problem), problem);
    const auto relative = target.lexically_relative(base).generic_string();
    // Footage on another disk is named in full: a chain of ".." breaks when the job's folder is moved.
    if (relative.empty() || relative.starts_with("../..")) return target.generic_string();
    return relative;
}

bool lies_below(const std::string& folder, const std::string& path) {
    const auto relative = fs::path(path).lexically_relative(folder).generic_string();
    return !relative.empty() && relative != ".." && !relative.starts_with("../");
}

} // namespace downball::pipeline
