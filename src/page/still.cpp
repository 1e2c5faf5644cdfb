// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "page/still.h"

#include "page/html.h"

#include <fmt/format.h>

namespace downball::page {

namespace {

constexpr std::string_view name_begins = " data-still=\"",
                           content_begins = "\" src=\"data:image/jpeg;base64,";

// What stands before the next quotation mark; moves behind it.
std::string_view up_to_quote(std::string_view text, std::size_t& at) {
    const auto end = text.find('"', at);
    if (end == std::string_view::npos) return {};
    const auto found = text.substr(at, end - at);
    at = end;
    return found;
}

} // namespace

std::string image(const Still& still, const std::string& alt) {
    return fmt::format("<img alt=\"{}\" width=\"224\" height=\"126\" decoding=\"async\"{}{}{}{}\">", esc(alt),
                       name_begins, esc(still.name), content_begins, still.base64);
}

std::map<std::string, std::string> stills_in(std::string_view page) {
    std::map<std::string, std::string> found;
    for (std::size_t at = page.find(name_begins); at != std::string_view::npos;
         at = page.find(name_begins, at)) {
        at += name_begins.size();
        const auto name = up_to_quote(page, at);
        if (name.empty() || page.substr(at, content_begins.size()) != content_begins) continue;
        at += content_begins.size();
        found.emplace(name, up_to_quote(page, at));
    }
    return found;
}

} // namespace downball::page
