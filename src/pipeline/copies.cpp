// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/copies.h"

#include "pipeline/places.h"

#include "downball/analysis/listen.h"
#include "downball/base/long_work.h"
#include "downball/base/notes.h"

#include <cstdint>
#include <filesystem>
#include <fmt/format.h>

namespace downball::pipeline {

namespace {

namespace fs = std::filesystem;

std::map<std::uintmax_t, std::vector<std::string>> by_size(const std::vector<std::string>& paths) {
    std::map<std::uintmax_t, std::vector<std::string>> sizes;
    for (const auto& path : paths) {
        std::error_code problem;
        const auto bytes = fs::file_size(path, problem);
        if (!problem) sizes[bytes].push_back(path);
    }
    return sizes;
}

// Empty for what cannot be read.
std::string id_of(const std::string& path, analysis::Folder& kept) {
    const auto clip = analysis::find_clip(path, false, kept);
    return clip ? clip->media.id : std::string();
}

} // namespace

Result<std::map<std::string, std::string>> find_copies(const std::vector<std::string>& logged,
                                                       const std::vector<std::string>& fresh,
                                                       analysis::Folder& kept, const LongWork& work) {
    auto known = by_size(logged);
    const auto sizes = by_size(fresh);
    std::map<std::string, std::string> copies;
    std::size_t done = 0;
    for (const auto& [bytes, paths] : sizes) {
        if (work.stop_asked()) return stopped_in_time();
        work.report(static_cast<double>(++done) / static_cast<double>(sizes.size()));
        const auto& in_log = known[bytes];
        if (in_log.size() + paths.size() < 2) continue;
        std::map<std::string, std::string> first; // path, by id
        for (const auto& path : in_log)
            first.emplace(id_of(path, kept), path);
        for (const auto& path : paths) {
            const auto id = id_of(path, kept);
            const auto [known_as, is_new] = first.emplace(id, path);
            if (!is_new && !id.empty()) copies.emplace(path, known_as->second);
        }
    }
    return copies;
}

std::string tell_copies(const std::map<std::string, std::string>& copies, const std::string& folder) {
    if (copies.empty()) return {};
    std::vector<std::string> pairs;
    for (const auto& [copy, of] : copies)
        pairs.push_back(fmt::format("{} is {}", as_written(folder, copy), as_written(folder, of)));
    constexpr std::size_t most = 6;
    return fmt::format("{} left out: {}",
                       copies.size() == 1
                           ? "1 file is a copy of another and was"
                           : fmt::format("{} files are copies of others and were", copies.size()),
                       some_of(pairs, most));
}

} // namespace downball::pipeline
