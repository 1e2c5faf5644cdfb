// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/missing.h"

#include "pipeline/places.h"

#include "downball/base/text.h"

#include <filesystem>
#include <fmt/format.h>
#include <map>

namespace downball::pipeline {
namespace {

// What only the file could tell of is dropped.
void keep_what_stands_alone(shotlog::Row& row, double duration_s) {
    const auto in_file = [&](const std::string& cell) {
        const auto seconds = parse_number(cell);
        return seconds && *seconds >= 0 && *seconds <= duration_s;
    };
    if (!in_file(row.in)) row.in.clear();
    if (!in_file(row.out) || parse_number(row.out) <= parse_number(row.in)) row.out.clear();
    if (!row.in.empty() && *parse_number(row.in) >= duration_s) row.in.clear();
    row.marks.clear();
    for (auto& contact : row.contacts)
        contact.by_hand = false; // so that one outside in and out is no error
    row.bytes.reset();
}

} // namespace

std::set<std::string> stand_in(shotlog::Log& log, analysis::Surveyed& surveyed, const Moved& moved,
                               const std::string& folder) {
    std::map<std::string, double> length_s; // by path, as the first row that tells it
    for (const auto& row : log.rows)
        if (row.duration_s && *row.duration_s > 0)
            length_s.emplace(from_folder(folder, row.file), *row.duration_s);
    std::set<std::string> absent, told;
    std::erase_if(log.rows, [&](shotlog::Row& row) {
        const auto path = from_folder(folder, row.file);
        const auto failure = surveyed.failed.find(path);
        if (failure == surveyed.failed.end()) return false;
        if (row.tags.use == Use::never) return true;
        const auto length = length_s.find(path);
        const bool known = length != length_s.end();
        if (told.insert(row.file).second) {
            const auto lost = moved.lost.find(row.file);
            log.notes.push_back(
                fmt::format("{}: {}{}; {}", row.file, failure->second.what,
                            lost != moved.lost.end() && !lost->second.empty() ? "; " + lost->second : "",
                            known ? "counted by what the log tells of it"
                                  : "not counted, since the log does not tell in duration_s how long it is"));
        }
        if (!known) return true;
        MediaInfo media;
        media.path = path;
        media.name = std::filesystem::path(row.file).filename().string();
        media.duration_s = length->second;
        media.has_video = true;
        surveyed.media.emplace(path, std::move(media));
        absent.insert(row.file);
        keep_what_stands_alone(row, length->second);
        return false;
    });
    return absent;
}

} // namespace downball::pipeline
