// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/places.h"

#include "downball/base/text.h"

#include <algorithm>
#include <array>
#include <filesystem>
#include <fmt/format.h>
#include <string_view>

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
    const auto base = fs::weakly_canonical(folder.empty() ? "." : folder, problem);
    const auto target = fs::weakly_canonical(path, problem);
    const auto relative = target.lexically_relative(base).generic_string();
    // Footage on another disk is named in full: a chain of ".." breaks when the job's folder is moved.
    if (relative.empty() || relative.starts_with("../..")) return target.generic_string();
    return relative;
}

bool lies_below(const std::string& folder, const std::string& path) {
    const auto relative = fs::path(path).lexically_relative(folder).generic_string();
    return !relative.empty() && relative != ".." && !relative.starts_with("../");
}

Result<std::vector<std::string>> clips_below(const std::vector<std::string>& folders) {
    constexpr std::array<std::string_view, 12> endings{".mp4", ".mov", ".m4v", ".mkv", ".mts",  ".m2ts",
                                                       ".avi", ".mxf", ".ts",  ".3gp", ".webm", ".mpg"};
    std::vector<std::string> clips;
    for (const auto& folder : folders) {
        std::error_code problem;
        if (fs::is_regular_file(folder, problem)) { // named itself, so whatever its ending
            clips.push_back(folder);
            continue;
        }
        auto entry =
            fs::recursive_directory_iterator(folder, fs::directory_options::skip_permission_denied, problem);
        if (problem)
            return Error{Fault::bad_input,
                         fmt::format("cannot look into this footage folder: {}; check `footage` and the path",
                                     problem.message()),
                         folder};
        for (const auto end = fs::recursive_directory_iterator(); entry != end; entry.increment(problem)) {
            const auto& path = entry->path();
            const bool hidden = path.filename().string().starts_with('.');
            std::error_code ignored;
            if (entry->is_directory(ignored)) {
                if (hidden) entry.disable_recursion_pending();
                continue;
            }
            if (!hidden && std::ranges::count(endings, lower(path.extension().string())) > 0)
                clips.push_back(path.string());
        }
        // An increment that fails ends the loop as the last entry does.
        if (problem)
            return Error{Fault::bad_input,
                         fmt::format("reading this footage folder broke off: {}; check the card or disk",
                                     problem.message()),
                         folder};
    }
    std::ranges::sort(clips);
    clips.erase(std::unique(clips.begin(), clips.end()), clips.end()); // clang 14 cannot read ranges::unique
    return clips;
}

} // namespace downball::pipeline
