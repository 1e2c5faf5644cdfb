// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <iterator>
#include <sstream>
#include <string>
#include <vector>

// A written EDL by its lines and columns.
namespace downball::test {

inline std::vector<std::string> lines_of(const std::string& list) {
    std::vector<std::string> lines;
    std::istringstream in(list);
    for (std::string line; std::getline(in, line);)
        lines.push_back(line.ends_with('\r') ? line.substr(0, line.size() - 1) : line);
    return lines;
}

inline bool is_event(const std::string& line) {
    return line.size() > 2 && line[0] >= '0' && line[0] <= '9';
}

inline std::vector<std::string> events_of(const std::vector<std::string>& lines) {
    std::vector<std::string> events;
    std::ranges::copy_if(lines, std::back_inserter(events), is_event);
    return events;
}

// The line behind the n-th event (from 0) that begins so, or "".
inline std::string under(const std::vector<std::string>& lines, std::size_t n, const std::string& begin) {
    std::size_t seen = 0;
    for (const auto& line : lines) {
        if (is_event(line)) ++seen;
        if (seen == n + 1 && line.starts_with(begin)) return line;
    }
    return "";
}

// An event's fields by the columns of the form, blanks at their ends left out.
struct EventFields {
    std::string number, reel, channel, transition, source_in, source_out, record_in, record_out;
};

inline EventFields fields_of(const std::string& event) {
    const auto field = [&](std::size_t column, std::size_t width) {
        std::string text = event.substr(column - 1, width);
        while (text.ends_with(' '))
            text.pop_back();
        return text;
    };
    return {field(1, 3),   field(6, 8),   field(15, 4),  field(21, 4),
            field(30, 11), field(42, 11), field(54, 11), field(66, 11)};
}

} // namespace downball::test
