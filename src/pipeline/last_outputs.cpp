// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/last_outputs.h"

#include "downball/files/files.h"
#include "downball/text/json.h"

#include <algorithm>
#include <filesystem>

namespace downball::pipeline {

namespace {

namespace fs = std::filesystem;

// File name -> hash, from the report; empty where the text is no report of ours.
std::map<std::string, std::string> hashes_in(const text::Json& report) {
    std::map<std::string, std::string> hashes;
    const auto* outputs = report.find("outputs");
    if (!outputs || !outputs->is_array()) return hashes;
    for (const auto& output : outputs->array()) {
        const auto* file = output.find("file");
        const auto* hash = output.find("hash");
        if (file && hash && file->is_string() && hash->is_string())
            hashes.emplace(file->string(), hash->string());
    }
    return hashes;
}

Error not_ours(const std::string& path) {
    return {
        Fault::cannot_write,
        "this file was not written by the last run, or was changed since; move it away, give the job another "
        "`name`, or say --force to overwrite it",
        path};
}

} // namespace

Result<void> may_overwrite(const std::string& report_path, const std::vector<std::string>& paths) {
    std::error_code ignored;
    std::map<std::string, std::string> hashes;
    if (fs::exists(report_path, ignored)) {
        const auto content = files::read_text(report_path);
        if (!content) return not_ours(report_path);
        const auto report = text::parse_json(*content, report_path);
        if (!report || !report->find("downball_report")) return not_ours(report_path);
        hashes = hashes_in(*report);
    }
    for (const auto& path : paths) {
        if (!fs::exists(path, ignored)) continue;
        const auto known = hashes.find(fs::path(path).filename().string());
        if (known == hashes.end()) return not_ours(path);
        const auto hash = files::file_hash(path);
        if (!hash || *hash != known->second) return not_ours(path);
    }
    return {};
}

std::vector<std::pair<std::string, std::string>> left_standing(const std::string& report_path,
                                                               const std::vector<std::string>& paths) {
    std::vector<std::pair<std::string, std::string>> left;
    const auto content = files::read_text(report_path);
    if (!content) return left;
    const auto report = text::parse_json(*content, report_path);
    if (!report) return left;
    for (const auto& [name, known] : hashes_in(*report)) {
        const auto path = (fs::path(report_path).parent_path() / fs::path(name).filename()).string();
        if (std::ranges::find(paths, path) != paths.end()) continue;
        if (const auto hash = files::file_hash(path); hash && *hash == known) left.emplace_back(name, known);
    }
    return left;
}

bool stands_as_written(const std::string& report_path, const std::string& path) {
    std::error_code ignored;
    return fs::exists(path, ignored) && fs::exists(report_path, ignored) &&
           static_cast<bool>(may_overwrite(report_path, {path}));
}

} // namespace downball::pipeline
