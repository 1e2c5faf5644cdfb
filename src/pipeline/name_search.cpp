// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/name_search.h"

#include "pipeline/places.h"

#include "downball/base/notes.h"
#include "downball/base/text.h"

#include <algorithm>
#include <filesystem>

namespace downball::pipeline {

namespace {

namespace fs = std::filesystem;

std::string lower_name(const fs::path& path) {
    return lower(path.filename().string());
}

void drop_links(std::vector<std::string>& paths) {
    std::set<std::string> seen;
    std::erase_if(paths, [&](const std::string& path) { return !seen.insert(file_key("", path)).second; });
}

} // namespace

NameSearch::NameSearch(const std::vector<std::string>& names) {
    for (const auto& name : names)
        paths_[lower(name)];
}

std::optional<std::string> NameSearch::read(const std::vector<std::string>& folders,
                                            const std::stop_token& stop) {
    std::vector<std::string> roots; // without links
    for (const auto& folder : folders)
        roots.push_back(file_key("", folder.empty() ? "." : folder));
    std::ranges::sort(roots); // a folder comes before those in it, which are then read with it
    std::vector<std::string> words;
    for (const auto& root : roots) {
        std::error_code problem;
        if (fs::is_regular_file(root, problem)) {
            look_at(root);
            continue;
        }
        if (!read_.insert(root).second) continue;
        const bool there = fs::is_directory(root, problem);
        words.push_back(root + (there ? "" : " (not there)"));
        if (there && !read_below(root, stop)) return std::nullopt;
    }
    for (auto& [name, paths] : paths_) {
        std::ranges::sort(paths);
        drop_links(paths);
    }
    return some_of(words, 6);
}

const std::vector<std::string>& NameSearch::paths(const std::string& name) const {
    return paths_.at(lower(name));
}

bool NameSearch::read_below(const std::string& root, const std::stop_token& stop) {
    std::error_code problem;
    auto entry =
        fs::recursive_directory_iterator(root, fs::directory_options::skip_permission_denied, problem);
    for (const auto end = fs::recursive_directory_iterator(); !problem && entry != end;
         entry.increment(problem)) {
        if (stop.stop_requested()) return false;
        const auto& path = entry->path();
        const bool hidden = path.filename().string().starts_with('.');
        std::error_code ignored;
        if (entry->is_directory(ignored)) {
            if (hidden || (!entry->is_symlink(ignored) && !read_.insert(path.string()).second))
                entry.disable_recursion_pending();
        } else if (!hidden) {
            look_at(path.string());
        }
    }
    return true;
}

void NameSearch::look_at(const std::string& path) {
    const auto wanted = paths_.find(lower_name(path));
    std::error_code ignored;
    if (wanted != paths_.end() && fs::is_regular_file(path, ignored)) wanted->second.push_back(path);
}

} // namespace downball::pipeline
