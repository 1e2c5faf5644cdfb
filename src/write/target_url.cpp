// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "write/target_url.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>

namespace downball::write {
namespace {

namespace fs = std::filesystem;

bool plain(char c) {
    return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-' ||
           c == '.' || c == '_' || c == '~' || c == '/';
}

bool has_drive(std::string_view path) {
    return path.size() >= 2 && path[1] == ':' &&
           ((path[0] >= 'A' && path[0] <= 'Z') || (path[0] >= 'a' && path[0] <= 'z'));
}

std::string file_url(const std::string& path) {
    if (path.starts_with("//")) return "file:" + percent_encoded(path);
    if (has_drive(path)) return "file:///" + path.substr(0, 2) + percent_encoded(path.substr(2));
    return "file://" + percent_encoded(path);
}

// The path with its beginning replaced, if it lies under `from`: whole names only, /cards is not in /card.
std::optional<std::string> moved(const std::string& path, const std::pair<std::string, std::string>& root) {
    std::string from = root.first, to = root.second;
    while (from.size() > 1 && from.ends_with('/'))
        from.pop_back();
    std::ranges::replace(to, '\\', '/');
    while (to.size() > 1 && to.ends_with('/'))
        to.pop_back();
    if (from.empty() || !path.starts_with(from)) return {};
    const std::string rest = path.substr(from == "/" ? 0 : from.size());
    if (!rest.empty() && rest.front() != '/') return {};
    return (to == "/" ? "" : to) + rest;
}

} // namespace

std::string percent_encoded(std::string_view path) {
    std::string encoded;
    for (const char c : path) {
        if (plain(c))
            encoded += c;
        else
            encoded += fmt::format("%{:02X}", static_cast<unsigned>(static_cast<unsigned char>(c)));
    }
    return encoded;
}

Result<std::string> target_url(const std::string& path, const OtioOptions& options) {
    if (options.media_root)
        if (const auto there = moved(path, *options.media_root)) {
            const bool absolute = there->starts_with('/') || has_drive(*there);
            return absolute ? file_url(*there) : percent_encoded(*there);
        }
    const bool absolute_path = fs::path(path).is_absolute();
    if (options.absolute_urls) {
        if (absolute_path) return file_url(fs::path(path).lexically_normal().string());
        return Error{Fault::internal,
                     fmt::format("found the relative path \"{}\", expected an absolute one", path), "OTIO"};
    }
    if (absolute_path != fs::path(options.folder).is_absolute())
        return Error{
            Fault::internal,
            fmt::format("cannot say where \"{}\" lies from \"{}\": one is absolute, the other is not", path,
                        options.folder),
            "OTIO"};
    return percent_encoded(fs::path(path)
                               .lexically_normal()
                               .lexically_relative(fs::path(options.folder).lexically_normal())
                               .string());
}

} // namespace downball::write
