// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "analysis/seen.h"

#include "downball/base/text.h"
#include "downball/files/files.h"

#include <algorithm>
#include <chrono>
#include <fmt/format.h>
#include <sys/stat.h>

namespace downball::analysis {

namespace {

constexpr std::size_t hash_digits = 16;

std::int64_t in_ns(const timespec& at) {
    return std::int64_t{at.tv_sec} * 1'000'000'000 + at.tv_nsec;
}

// The next piece up to a mark, which is taken off with it.
std::string_view cut_off(std::string_view& text, char mark) {
    const auto end = text.find(mark);
    const auto piece = text.substr(0, end);
    text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
    return piece;
}

} // namespace

bool Seen::take_up(std::string_view text) {
    const auto hash = cut_off(text, '\n');
    if (hash.size() != hash_digits || files::content_hash(text) != hash) return false;
    while (!text.empty()) {
        auto line = cut_off(text, '\n');
        Identity file;
        file.id = cut_off(line, '\t');
        const auto bytes = parse_integer(cut_off(line, '\t')), modified = parse_integer(cut_off(line, '\t')),
                   changed = parse_integer(cut_off(line, '\t'));
        if (!bytes || !modified || !changed || line.empty()) return false;
        file.bytes = static_cast<std::uint64_t>(*bytes);
        file.modified_ns = *modified;
        file.changed_ns = *changed;
        file.path = line;
        files_.emplace(file.path, std::move(file));
    }
    return true;
}

std::string Seen::id_of(const Identity& file) const {
    const auto known = files_.find(file.path);
    const bool same = known != files_.end() && known->second.bytes == file.bytes &&
                      known->second.modified_ns == file.modified_ns &&
                      known->second.changed_ns == file.changed_ns;
    return same ? known->second.id : std::string();
}

void Seen::add(const Identity& file) {
    if (file.path.find_first_of("\t\n") == std::string::npos) files_.insert_or_assign(file.path, file);
}

std::string Seen::text() const {
    std::string lines;
    for (const auto& [path, file] : files_)
        lines +=
            fmt::format("{}\t{}\t{}\t{}\t{}\n", file.id, file.bytes, file.modified_ns, file.changed_ns, path);
    return files::content_hash(lines) + "\n" + lines;
}

std::optional<Identity> stamp_of(const std::string& path) {
    struct stat told;
    if (::stat(path.c_str(), &told) != 0) return std::nullopt;
    return Identity{path, "", static_cast<std::uint64_t>(told.st_size), in_ns(told.st_mtim),
                    in_ns(told.st_ctim)};
}

bool just_changed(const Identity& file) {
    using namespace std::chrono;
    constexpr std::int64_t step_ns = 3'000'000'000;
    const auto now_ns = duration_cast<nanoseconds>(system_clock::now().time_since_epoch()).count();
    return std::max(file.modified_ns, file.changed_ns) > now_ns - step_ns;
}

} // namespace downball::analysis
