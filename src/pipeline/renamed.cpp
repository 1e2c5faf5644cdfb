// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/renamed.h"

#include "pipeline/places.h"

#include "downball/base/long_work.h"
#include "downball/base/notes.h"
#include "downball/media/probe.h"

#include <cstdint>
#include <filesystem>
#include <fmt/format.h>

namespace downball::pipeline {

namespace {

namespace fs = std::filesystem;
using shotlog::LoggedFile;

// One missing file, with all ways in which the log writes it.
struct Missing {
    const LoggedFile* file;
    std::vector<std::string> spellings;
    std::vector<std::string> may_be; // paths
};

std::map<std::string, Missing> missing_files(std::span<const LoggedFile> files, const std::string& folder) {
    std::map<std::string, Missing> missing; // by file_key
    for (const LoggedFile& file : files) {
        std::error_code ignored;
        if (!file.bytes || !file.duration_s || fs::exists(from_folder(folder, file.file), ignored)) continue;
        const auto place = missing.emplace(file_key(folder, file.file), Missing{&file, {}, {}}).first;
        place->second.spellings.push_back(file.file);
    }
    return missing;
}

bool lasts_as(const LoggedFile& file, const std::string& path) {
    const auto media = media::probe(path, {.id = false});
    return media && media->has_video && shotlog::lasts_as_logged(*file.duration_s, *media);
}

} // namespace

Result<Renamed> find_renamed(std::span<const LoggedFile> files, const std::string& folder,
                             const std::vector<std::string>& fresh, const std::stop_token& stop) {
    auto missing = missing_files(files, folder);
    std::map<std::string, std::vector<std::string>> claims; // files as logged, by path
    for (const auto& path : missing.empty() ? std::vector<std::string>() : fresh) {
        if (stop.stop_requested()) return stopped_in_time();
        std::error_code problem;
        const std::uintmax_t bytes = fs::file_size(path, problem);
        for (auto& [key, one] : missing) {
            if (problem || bytes != *one.file->bytes || !lasts_as(*one.file, path)) continue;
            one.may_be.push_back(path);
            claims[path].push_back(one.file->file);
        }
    }
    Renamed renamed;
    constexpr std::size_t most = 6;
    for (const auto& [key, one] : missing) {
        if (one.may_be.empty()) continue;
        std::vector<std::string> places;
        bool alone = one.may_be.size() == 1;
        for (const auto& path : one.may_be) {
            places.push_back(as_written(folder, path));
            alone = alone && claims[path].size() == 1;
        }
        if (alone)
            for (const auto& file : one.spellings)
                renamed.found[file] = places.front();
        else
            renamed.notes.push_back(
                fmt::format("{} is gone; by size and length it may be {}{}; if it is, write so in its rows, "
                            "column file, and take out the new row of that file",
                            one.file->file, some_of(places, most),
                            one.may_be.size() > 1 ? "" : ", and so may another file that is gone"));
    }
    return renamed;
}

std::string tell_renamed(const std::map<std::string, std::string>& found) {
    if (found.empty()) return {};
    std::vector<std::string> names;
    for (const auto& [from, to] : found)
        names.push_back(fmt::format("{} is called {} now", from, to));
    constexpr std::size_t most = 20;
    return some_of(names, most) + " (same size and length)";
}

std::string tell_changed(std::span<const LoggedFile> files, const std::string& folder) {
    std::vector<std::string> changed;
    for (const LoggedFile& file : files) {
        std::error_code problem;
        const auto bytes = fs::file_size(from_folder(folder, file.file), problem);
        if (!problem && file.bytes && bytes != *file.bytes)
            changed.push_back(
                fmt::format("{} has {} bytes, {} when it was logged", file.file, bytes, *file.bytes));
    }
    if (changed.empty()) return {};
    constexpr std::size_t most = 6;
    return fmt::format(
        "{}: contacts and times in {} rows may not fit; empty the cells contacts, bytes and duration_s "
        "of these rows and run `downball log` again",
        some_of(changed, most), changed.size() == 1 ? "its" : "their");
}

} // namespace downball::pipeline
