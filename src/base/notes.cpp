// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/base/notes.h"

#include "downball/base/text.h"

#include <algorithm>
#include <map>

namespace downball {
namespace {

std::string who(const std::string& note) {
    const std::size_t colon = note.find(": ");
    return colon == std::string::npos ? std::string() : note.substr(0, colon);
}

std::string what(const std::string& note) {
    const std::size_t colon = note.find(": ");
    return colon == std::string::npos ? note : note.substr(colon + 2);
}

// The note without what tells it from others of its kind.
std::string kind_of(const std::string& note) {
    std::string kind;
    for (const std::string& word : words(note)) {
        const bool own = std::ranges::any_of(word, [](char c) { return c >= '0' && c <= '9'; });
        kind += own ? "# " : word + " ";
    }
    return kind;
}

} // namespace

std::string some_of(std::span<const std::string> all, std::size_t most) {
    if (all.size() <= most) return join(all, ", ");
    return join(all.first(most), ", ") + " and " + std::to_string(all.size() - most) + " more";
}

std::vector<std::string> group_notes(std::span<const std::string> notes) {
    std::vector<std::vector<std::string>> groups;
    std::map<std::string, std::size_t> at;
    for (const std::string& note : notes) {
        const std::string key = who(note).empty() ? kind_of(note) : "# " + kind_of(what(note));
        const auto [found, fresh] = at.emplace(key, groups.size());
        if (fresh) groups.emplace_back();
        groups[found->second].push_back(note);
    }
    std::vector<std::string> lines;
    for (const auto& group : groups) {
        const std::string& first = group.front();
        const bool same =
            std::ranges::all_of(group, [&](const std::string& note) { return what(note) == what(first); });
        std::vector<std::string> named;
        for (const std::string& note : group)
            if (std::ranges::find(named, who(note)) == named.end()) named.push_back(who(note));
        if (group.size() == 1 || (same && who(first).empty()))
            lines.push_back(first);
        else if (same)
            lines.push_back(some_of(named) + ": " + what(first));
        else
            lines.push_back(first + " (and " + std::to_string(group.size() - 1) + " more like it)");
    }
    return lines;
}

} // namespace downball
