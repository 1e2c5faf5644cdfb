// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/catch.h"
#include "support/list_lines.h"
#include "support/otio_objects.h"
#include "support/temp_folder.h"

#include "downball/write/edl.h"
#include "downball/write/otio.h"

#include <cstdlib>
#include <fmt/format.h>
#include <fstream>

namespace downball::test {

// Both lists of a cut, which the independent readers of tests/support have read and found no fault with.
struct WrittenLists {
    std::vector<std::string> edls;
    Json otio;

    std::vector<std::string> lines(std::size_t part = 0) const { return lines_of(edls.at(part)); }
    std::vector<EventFields> events(std::size_t part = 0) const {
        std::vector<EventFields> fields;
        for (const auto& event : events_of(lines(part)))
            fields.push_back(fields_of(event));
        return fields;
    }
    // Events of one channel, through all parts.
    std::vector<EventFields> on(const std::string& channel) const {
        std::vector<EventFields> found;
        for (std::size_t part = 0; part < edls.size(); ++part)
            for (const auto& event : events(part))
                if (event.channel == channel) found.push_back(event);
        return found;
    }
    // The M2 lines of the first part.
    std::vector<std::string> speeds() const {
        std::vector<std::string> found;
        for (const auto& line : lines())
            if (line.starts_with("M2")) found.push_back(line);
        return found;
    }
};

inline bool reads_well(const std::string& reader, const std::string& path, const std::string& more = "") {
    return std::system(fmt::format("PYTHONDONTWRITEBYTECODE=1 /usr/bin/python3 {}/tests/support/{} '{}' {}",
                                   DOWNBALL_SOURCE_DIR, reader, path, more)
                           .c_str()) == 0;
}

inline WrittenLists written_lists(const Timeline& cut, const write::EdlOptions& options = {}) {
    const TempFolder folder;
    WrittenLists lists;
    const auto edls = write::edl(cut, options);
    INFO((edls ? "" : edls.error().where + ": " + edls.error().what));
    REQUIRE(edls);
    lists.edls = *edls;
    for (const auto& edl : lists.edls) {
        std::ofstream(folder / "cut.edl", std::ios::binary) << edl;
        CHECK(reads_well("edl_reader.py", folder / "cut.edl", to_string(cut.rate)));
    }
    const auto otio = write::otio(cut, {.folder = "/shoot/out", .absolute_urls = false, .media_root = {}});
    REQUIRE(otio);
    std::ofstream(folder / "cut.otio", std::ios::binary) << *otio;
    CHECK(reads_well("otio_reader.py", folder / "cut.otio"));
    const auto root = text::parse_json(*otio, "cut.otio");
    REQUIRE(root);
    lists.otio = *root;
    return lists;
}

} // namespace downball::test
