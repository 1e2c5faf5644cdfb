// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/shotlog/log.h"

namespace downball::shotlog {

std::span<const std::string> columns() {
    static const std::vector<std::string> names{
        "id",       "file",  "reel",       "camera",      "kind",   "players",  "skills",
        "size",     "angle", "side",       "crop",        "rating", "in",       "out",
        "contacts", "marks", "distance_m", "capture_fps", "moment", "set",      "score",
        "use",      "note",  "bytes",      "duration_s",  "began",  "file_fps", "has_sound"};
    return names;
}

text::CsvTable new_table() {
    text::CsvTable table;
    table.header.assign(columns().begin(), columns().end());
    table.line_end = "\r\n"; // as RFC 4180 has it
    return table;
}

} // namespace downball::shotlog
