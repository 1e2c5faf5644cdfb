// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "read/otio_url.h"

#include "downball/base/text.h"

#include <algorithm>
#include <fmt/format.h>
#include <optional>

namespace downball::read {
namespace {

bool letter(char c) {
    return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
}
bool digit(char c) {
    return c >= '0' && c <= '9';
}

std::optional<unsigned> hex(char c) {
    if (digit(c)) return static_cast<unsigned>(c - '0');
    if (c >= 'A' && c <= 'F') return static_cast<unsigned>(c - 'A' + 10);
    if (c >= 'a' && c <= 'f') return static_cast<unsigned>(c - 'a' + 10);
    return std::nullopt;
}

// RFC 3986 2.2 and 2.3, without ? and #, which end a path, and [ ], which stand around a host only.
bool may_stand(char c) {
    constexpr std::string_view marks = "-._~:/@!$&'()*+,;=";
    return letter(c) || digit(c) || marks.find(c) != std::string_view::npos;
}

std::string_view last_part(std::string_view url) {
    const auto slash = url.rfind('/');
    return slash == std::string_view::npos ? url : url.substr(slash + 1);
}

// Nothing where an escape is broken.
std::optional<std::string> decoded(std::string_view text) {
    std::string plain;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] != '%') {
            plain += text[i];
            continue;
        }
        const auto high = i + 1 < text.size() ? hex(text[i + 1]) : std::nullopt;
        const auto low = i + 2 < text.size() ? hex(text[i + 2]) : std::nullopt;
        if (!high || !low) return std::nullopt;
        plain += static_cast<char>(static_cast<unsigned char>(*high * 16 + *low));
        i += 2;
    }
    return plain;
}

bool makes_name(const std::optional<std::string>& name) {
    return name && valid_utf8(*name) && name->find('/') == std::string::npos &&
           name->find('\0') == std::string::npos;
}

bool folder(std::string_view part) {
    return part.empty() || part == "." || part == "..";
}

// RFC 3986 3.1; a drive letter looks the same.
bool has_scheme(std::string_view url) {
    const auto colon = url.find(':');
    return colon != std::string_view::npos && colon < url.find('/');
}

} // namespace

std::string url_fault(std::string_view url) {
    if (url.empty()) return "it is empty";
    if (!std::ranges::all_of(url, [](char c) { return c == '%' || may_stand(c); }) || !decoded(url))
        return "it is not percent-encoded";
    if (url.starts_with("./")) return "it begins with ./";
    constexpr std::string_view file = "file://";
    const bool absolute = url.starts_with(file);
    if (absolute && url.find('/', file.size()) == std::string_view::npos)
        return "it names no path after file://";
    if (!absolute && (url.starts_with('/') || has_scheme(url))) return "it is neither file:/// nor relative";
    const auto name = decoded(last_part(url));
    if (name && folder(*name)) return "it names a folder";
    if (!makes_name(name)) return "its last part, decoded, is no file name in UTF-8";
    return {};
}

std::string url_file(std::string_view url) {
    const auto part = last_part(url);
    const auto name = decoded(part);
    if (!makes_name(name)) return std::string(part);
    return folder(*name) ? std::string() : *name;
}

} // namespace downball::read
