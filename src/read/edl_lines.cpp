// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "read/edl_lines.h"

#include "downball/base/text.h"

#include <algorithm>
#include <fmt/format.h>

namespace downball::read {
namespace {

constexpr std::size_t most_lines = 1'000'000;
constexpr std::size_t line_length = 76;
constexpr std::array<std::size_t, 4> label_columns{29, 41, 53, 65}; // from 0

bool digits(std::string_view text) {
    return !text.empty() && std::ranges::all_of(text, [](char c) { return c >= '0' && c <= '9'; });
}

// The words of a line with their places.
std::vector<std::string_view> words_of(std::string_view line) {
    std::vector<std::string_view> words;
    for (std::size_t at = 0; at < line.size();) {
        const auto from = line.find_first_not_of(" \t", at);
        if (from == std::string_view::npos) break;
        at = std::min(line.find_first_of(" \t", from), line.size());
        words.push_back(line.substr(from, at - from));
    }
    return words;
}

} // namespace

EdlLines::EdlLines(std::string_view text) {
    if (text.starts_with("\xEF\xBB\xBF")) {
        unclean_.emplace_back(1, "a byte-order mark stands before the title");
        text.remove_prefix(3);
    }
    if (text.find('\0') != std::string_view::npos) {
        fault_ = Fault{0, "this is no text: it holds zero bytes (UTF-16, or another kind of file?)"};
        return;
    }
    divide(text);
    if (all_.size() > most_lines)
        fault_ = Fault{most_lines + 1, fmt::format("more than {} lines: no edit list", most_lines)};
    else if (all_.empty())
        fault_ = Fault{0, "the list is empty"};
    else
        look_for_bytes();
}

void EdlLines::divide(std::string_view text) {
    bool seen[3] = {};
    for (std::size_t at = 0; at < text.size() && all_.size() <= most_lines;) {
        const auto end = std::min(text.find_first_of("\r\n", at), text.size());
        all_.push_back({all_.size() + 1, text.substr(at, end - at)});
        if (end == text.size()) {
            unclean_.emplace_back(all_.size(), "the last line has no line end: is the list cut short?");
            break;
        }
        const bool both = text[end] == '\r' && end + 1 < text.size() && text[end + 1] == '\n';
        seen[both ? 0 : text[end] == '\n' ? 1 : 2] = true;
        at = end + (both ? 2 : 1);
    }
    if (seen[2]) unclean_.emplace_back(1, "lines end with a bare carriage return");
    if (seen[0] && seen[1]) unclean_.emplace_back(1, "some lines end with CRLF and some with LF");
}

void EdlLines::look_for_bytes() {
    bool tab = false, other = false;
    for (const EdlLine& line : all_)
        for (const char c : line.text) {
            if (c == '\t' && !tab) {
                unclean_.emplace_back(line.number, "a tab");
                tab = true;
            } else if (c != '\t' && (c < ' ' || c > '~') && !other) {
                unclean_.emplace_back(line.number, fmt::format("byte 0x{:02x} is no printable ASCII",
                                                               static_cast<unsigned char>(c)));
                other = true;
            }
        }
}

Result<EventFields> event_fields(std::string_view line) {
    const auto words = words_of(line);
    EventFields its;
    // Number, reel, channel, transition, perhaps its duration, four labels.
    if (words.size() < 8)
        return Error{Fault::bad_input,
                     fmt::format("expected number, reel, channel, transition and four timecodes, found '{}'",
                                 shortened(line)),
                     {}};
    if (!digits(words[0]) || words[0].size() > 6)
        return Error{Fault::bad_input, fmt::format("'{}' is no event number", shortened(words[0])), {}};
    its.number = static_cast<int>(*parse_integer(words[0]));
    its.reel = words[1];
    its.channel = words[2];
    its.transition = words[3];
    if (words.size() > 8) its.duration = words[4];
    const std::size_t first = words.size() > 8 ? 5 : 4;
    if (words.size() > 9 || words.size() < first + 4)
        return Error{Fault::bad_input,
                     fmt::format("expected four timecodes at the end, found '{}'", shortened(line)),
                     {}};
    its.in_columns = line.size() == line_length && words[0].size() == 3;
    const auto at = [&](std::string_view word) {
        return static_cast<std::size_t>(word.data() - line.data());
    };
    its.in_columns = its.in_columns && at(words[0]) == 0 && at(words[1]) == 5 && at(words[2]) == 14 &&
                     at(words[3]) == 20 && words[1].size() <= 8;
    for (std::size_t n = 0; n < 4; ++n) {
        its.labels[n] = words[first + n];
        its.in_columns = its.in_columns && at(words[first + n]) == label_columns[n];
    }
    return its;
}

Result<SpeedFields> speed_fields(std::string_view line) {
    const auto words = words_of(line);
    if (words.size() != 4 || words[0] != "M2")
        return Error{Fault::bad_input, "expected 'M2', reel, frames a second and a timecode", {}};
    const std::string_view number = words[2];
    const std::string_view bare = number.starts_with('-') ? number.substr(1) : number;
    if (bare.size() != 5 || bare[3] != '.' || !digits(bare.substr(0, 3)) || !digits(bare.substr(4)))
        return Error{
            Fault::bad_input,
            fmt::format("expected frames a second as 012.5 or -012.5, found '{}'", shortened(number)),
            {}};
    return SpeedFields{std::string(words[1]), *parse_number(number), words[3]};
}

bool known_channel(std::string_view channel) {
    constexpr std::array known{"V", "A", "A2", "AA", "B", "A2/V", "AA/V", "NONE"};
    return std::ranges::find(known, channel) != known.end();
}

bool known_transition(std::string_view code) {
    if (code == "C" || code == "D") return true;
    return code.size() == 4 && code[0] == 'W' && digits(code.substr(1));
}

bool known_colour(std::string_view colour) {
    constexpr std::array known{"RED", "GREEN", "BLUE", "CYAN", "MAGENTA", "YELLOW", "BLACK", "WHITE"};
    return std::ranges::find(known, colour) != known.end();
}

std::string shortened(std::string_view text) {
    std::string some;
    for (const char c : text.substr(0, 40))
        some += c >= ' ' && c <= '~' ? c : '?';
    return text.size() > 40 ? some + " ..." : some;
}

} // namespace downball::read
