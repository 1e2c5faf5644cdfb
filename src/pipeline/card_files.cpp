// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/card_files.h"

#include "downball/base/notes.h"
#include "downball/base/text.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <set>

namespace downball::pipeline {

namespace {

namespace fs = std::filesystem;

// Common practice, no source. Raw pictures in motion that the decoder may not know are clips as well: one that cannot be
// read is told by its name.
const std::set<std::string> pictures{".mp4",  ".mov", ".m4v", ".mkv", ".mts",  ".m2ts", ".m2t",
                                     ".avi",  ".mxf", ".ts",  ".3gp", ".3g2",  ".mpg",  ".mpeg",
                                     ".webm", ".wmv", ".asf", ".flv", ".f4v",  ".ogv",  ".dv",
                                     ".mod",  ".tod", ".vob", ".r3d", ".braw", ".crm",  ".ari"};
const std::set<std::string> sounds{".wav", ".bwf", ".rf64", ".w64", ".flac", ".mp3",
                                   ".mp2", ".m4a", ".aac",  ".aif", ".aiff", ".aifc",
                                   ".ogg", ".oga", ".opus", ".wma", ".caf",  ".amr"};
const std::set<std::string> low_copies{".lrv", ".lrf"};
const std::set<std::string> photos{
    ".jpg",  ".jpeg", ".jpe", ".heic", ".heif", ".hif", ".avif", ".png", ".gif", ".bmp", ".tif",
    ".tiff", ".webp", ".dng", ".raw",  ".cr2",  ".cr3", ".crw",  ".nef", ".nrw", ".arw", ".srf",
    ".sr2",  ".raf",  ".rw2", ".orf",  ".pef",  ".srw", ".gpr",  ".3fr", ".x3f", ".mpo", ".jps"};
const std::set<std::string> sidecars{
    ".xml", ".xmp", ".thm", ".srt", ".vtt",  ".json", ".ctl", ".ctg",  ".aae", ".bim", ".smi", ".ppn",
    ".bdm", ".cpi", ".mpl", ".tdt", ".tid",  ".ind",  ".moi", ".pgi",  ".ifo", ".bup", ".bnp", ".int",
    ".inp", ".dat", ".cue", ".lut", ".cube", ".gis",  ".gpx", ".nmea", ".mhl", ".md5"};

std::string ending(const std::string& path) {
    return lower(fs::path(path).extension().string());
}

bool hidden(const fs::path& path) {
    return path.filename().string().starts_with('.');
}

void sort_in(const std::string& path, CardFiles& files) {
    switch (card_file(path)) {
    case CardFile::clip:
    case CardFile::low_copy:
        files.clips.push_back(path);
        break;
    case CardFile::photo:
        files.photos.push_back(path);
        break;
    case CardFile::sidecar:
        files.sidecars.push_back(path);
        break;
    case CardFile::other:
        files.others.push_back(path);
        break;
    }
}

Result<void> read_below(const std::string& folder, CardFiles& files) {
    std::error_code problem;
    auto entry =
        fs::recursive_directory_iterator(folder, fs::directory_options::skip_permission_denied, problem);
    if (problem)
        return Error{Fault::bad_input,
                     fmt::format("cannot look into this footage folder: {}; check `footage` and the path",
                                 problem.message()),
                     folder};
    for (const auto end = fs::recursive_directory_iterator(); entry != end; entry.increment(problem)) {
        std::error_code ignored;
        if (!entry->is_directory(ignored)) {
            if (!hidden(entry->path())) sort_in(entry->path().string(), files);
        } else if (hidden(entry->path())) {
            entry.disable_recursion_pending();
        }
    }
    // An increment that fails ends the loop as the last entry does.
    if (problem)
        return Error{Fault::bad_input,
                     fmt::format("reading this footage folder broke off: {}; check the card or disk",
                                 problem.message()),
                     folder};
    return {};
}

void tidy(std::vector<std::string>& paths) {
    std::ranges::sort(paths);
    paths.erase(std::unique(paths.begin(), paths.end()), paths.end()); // clang 14 cannot read ranges::unique
}

} // namespace

CardFile card_file(const std::string& path) {
    const auto end = ending(path);
    if (pictures.contains(end) || sounds.contains(end)) return CardFile::clip;
    if (low_copies.contains(end)) return CardFile::low_copy;
    if (photos.contains(end)) return CardFile::photo;
    return sidecars.contains(end) ? CardFile::sidecar : CardFile::other;
}

Result<CardFiles> files_below(const std::vector<std::string>& folders) {
    CardFiles files;
    for (const auto& folder : folders) {
        std::error_code ignored;
        if (fs::is_regular_file(folder, ignored))
            files.clips.push_back(folder);
        else if (auto read = read_below(folder, files); !read)
            return read.error();
    }
    for (auto* paths : {&files.clips, &files.photos, &files.sidecars, &files.others})
        tidy(*paths);
    return files;
}

std::string tell_skipped(const CardFiles& files, std::size_t proxies) {
    std::vector<std::string> words;
    const auto tell = [&](std::size_t count, const char* one, const char* many) {
        if (count > 0) words.push_back(fmt::format("{} {}", count, count == 1 ? one : many));
    };
    tell(files.photos.size(), "photo", "photos");
    tell(files.sidecars.size(), "sidecar", "sidecars");
    tell(proxies, "proxy", "proxies");
    tell(files.others.size(), "other file", "other files");
    std::set<std::string> endings;
    for (const auto& path : files.others)
        if (const auto end = ending(path); !end.empty()) endings.insert(end);
    if (endings.empty()) return join(words, ", ");
    return fmt::format("{} ({})", join(words, ", "),
                       some_of(std::vector<std::string>(endings.begin(), endings.end()), 6));
}

} // namespace downball::pipeline
