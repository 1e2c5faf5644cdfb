// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/text/html.h"

#include "downball/base/text.h"

namespace downball::text {

namespace {

constexpr std::string_view not_a_character = "\xEF\xBF\xBD";

void add(char c, std::string& out) {
    switch (c) {
    case '&':
        out += "&amp;";
        return;
    case '<':
        out += "&lt;";
        return;
    case '>':
        out += "&gt;";
        return;
    case '"':
        out += "&quot;";
        return;
    case '\'':
        out += "&#39;";
        return;
    default:
        break;
    }
    const auto code = static_cast<unsigned char>(c);
    const bool control = (code < 0x20 && c != '\n' && c != '\t') || code == 0x7f;
    if (control)
        out += not_a_character;
    else
        out += c;
}

// Bytes of the well-formed character that the text begins with; 0 = none.
std::size_t character(std::string_view text) {
    for (std::size_t n = 1; n <= 4 && n <= text.size(); ++n)
        if (valid_utf8(text.substr(0, n))) return n;
    return 0;
}

} // namespace

std::string html_escaped(std::string_view text) {
    std::string out;
    const bool sound = valid_utf8(text);
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t bytes = sound ? 1 : character(text.substr(at));
        if (bytes == 0)
            out += not_a_character;
        else if (bytes == 1)
            add(text[at], out);
        else
            out += text.substr(at, bytes);
        at += bytes == 0 ? 1 : bytes;
    }
    return out;
}

std::string base64(std::string_view bytes) {
    constexpr std::string_view letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    std::string out;
    out.reserve((bytes.size() + 2) / 3 * 4);
    for (std::size_t at = 0; at < bytes.size(); at += 3) {
        unsigned group = 0;
        for (std::size_t n = 0; n < 3; ++n)
            group = group << 8 | (at + n < bytes.size() ? static_cast<unsigned char>(bytes[at + n]) : 0U);
        for (std::size_t n = 0; n < 4; ++n)
            out += at + n <= bytes.size() ? letters[group >> (18 - 6 * n) & 63] : '=';
    }
    return out;
}

} // namespace downball::text
