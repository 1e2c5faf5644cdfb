// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/base/text.h"
#include "downball/text/json.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <iterator>

namespace downball::text {
namespace {

// Length of the well-formed character at the front, 0 if the bytes there are none.
std::size_t character_length(std::string_view text) {
    for (std::size_t n = 1; n <= 4 && n <= text.size(); ++n) {
        if (valid_utf8(text.substr(0, n))) return n;
    }
    return 0;
}

// Printable ASCII that stands in a string as it is: most of what we write.
bool stands_plain(char c) {
    return c >= 0x20 && c < 0x7F && c != '"' && c != '\\';
}

void write_string(std::string& out, std::string_view text) {
    out += '"';
    while (!text.empty()) {
        const auto special = std::ranges::find_if_not(text, stands_plain);
        const auto plain = static_cast<std::size_t>(special - text.begin());
        out += text.substr(0, plain);
        text.remove_prefix(plain);
        if (text.empty()) break;
        const std::size_t length = character_length(text);
        if (length == 0) {
            out += "\xEF\xBF\xBD"; // U+FFFD, one for each byte that is out of place
        } else if (length > 1) {
            out += text.substr(0, length);
        } else if (const char c = text.front(); c == '"' || c == '\\') {
            out += '\\';
            out += c;
        } else if (c == '\n') {
            out += "\\n";
        } else if (c == '\t') {
            out += "\\t";
        } else if (c == '\r') {
            out += "\\r";
        } else {
            fmt::format_to(std::back_inserter(out), "\\u{:04x}", static_cast<unsigned>(c));
        }
        text.remove_prefix(std::max<std::size_t>(length, 1));
    }
    out += '"';
}

void write_double(std::string& out, double value) {
    assert(std::isfinite(value));
    if (!std::isfinite(value)) {
        out += "null"; // the text stays JSON even where asserts are off
        return;
    }
    char digits[32];
    const auto end = std::to_chars(std::begin(digits), std::end(digits), value).ptr;
    const std::string_view written(digits, static_cast<std::size_t>(end - digits));
    out += written;
    if (written.find_first_of(".e") == std::string_view::npos) out += ".0";
}

bool on_one_line(const JsonArray& array) {
    return std::all_of(array.begin(), array.end(), [](const Json& item) { return item.is_number(); });
}

void write(std::string& out, const Json& value, std::size_t indent);

// Items between brackets, one a line; `write_item` writes the item at an index.
template <class WriteItem>
void write_lines(std::string& out, char open, char close, std::size_t count, std::size_t indent,
                 WriteItem write_item) {
    out += open;
    for (std::size_t i = 0; i < count; ++i) {
        out += i == 0 ? "\n" : ",\n";
        out.append(indent + 2, ' ');
        write_item(i);
    }
    if (count > 0) {
        out += '\n';
        out.append(indent, ' ');
    }
    out += close;
}

void write_array(std::string& out, const JsonArray& array, std::size_t indent) {
    if (!on_one_line(array)) {
        write_lines(out, '[', ']', array.size(), indent,
                    [&](std::size_t i) { write(out, array[i], indent + 2); });
        return;
    }
    out += '[';
    for (std::size_t i = 0; i < array.size(); ++i) {
        if (i > 0) out += ", ";
        write(out, array[i], indent);
    }
    out += ']';
}

void write(std::string& out, const Json& value, std::size_t indent) {
    if (value.is_null()) {
        out += "null";
    } else if (value.is_bool()) {
        out += value.boolean() ? "true" : "false";
    } else if (value.is_integer()) {
        out += std::to_string(value.integer());
    } else if (value.is_number()) {
        write_double(out, value.number());
    } else if (value.is_string()) {
        write_string(out, value.string());
    } else if (value.is_array()) {
        write_array(out, value.array(), indent);
    } else {
        const JsonObject& members = value.object();
        write_lines(out, '{', '}', members.size(), indent, [&](std::size_t i) {
            write_string(out, members[i].first);
            out += ": ";
            write(out, members[i].second, indent + 2);
        });
    }
}

} // namespace

std::string to_text(const Json& value) {
    std::string out;
    write(out, value, 0);
    out += '\n';
    return out;
}

} // namespace downball::text
