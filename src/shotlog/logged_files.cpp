// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shotlog/cells.h"

#include "downball/base/text.h"
#include "downball/shotlog/log.h"

#include <algorithm>
#include <cmath>

namespace downball::shotlog {

std::vector<LoggedFile> logged_files(const text::CsvTable& table) {
    std::vector<LoggedFile> files;
    std::map<std::string, std::size_t> at;
    const text::Columns columns(table);
    for (std::size_t i = 0; i < table.rows.size(); ++i) {
        const auto cell = [&](std::string_view column) -> std::string {
            const int found = columns(column);
            return found < 0 ? "" : std::string(trim(table.rows[i][static_cast<std::size_t>(found)]));
        };
        const std::string file = cell("file");
        if (file.empty()) continue;
        const auto [known, fresh] = at.emplace(file, files.size());
        if (fresh) files.push_back({.file = file, .line = table.lines[i]});
        LoggedFile& one = files[known->second];
        const auto bytes = parse_integer(cell("bytes"));
        if (!one.bytes && bytes && *bytes >= 0) one.bytes = static_cast<std::uint64_t>(*bytes);
        if (!one.duration_s) one.duration_s = parse_number(with_points(cell("duration_s"), table.separator));
        ++one.rows;
        for (const auto& [column, into] : {std::pair("id", &one.id), std::pair("camera", &one.camera),
                                           std::pair("reel", &one.reel), std::pair("moment", &one.moment)})
            if (into->empty()) *into = cell(column);
        if (const auto fps = parse_number(with_points(cell("capture_fps"), table.separator));
            !one.capture_fps && fps && *fps > 0)
            one.capture_fps = fps;
        if (const auto written = cell("contacts"); !one.contacts && !written.empty())
            if (auto contacts = parse_contacts(with_points(written, table.separator)))
                one.contacts = std::move(*contacts);
        one.never = one.never && parse_use(cell("use")) == Use::never;
    }
    return files;
}

bool lasts_as_logged(double logged_s, const MediaInfo& media) {
    constexpr double least_s = 0.05;
    const double picture_s = media.average_fps > 0 ? 1 / media.average_fps : 0;
    return std::abs(media.duration_s - logged_s) <= std::max(least_s, picture_s) + 1e-9;
}

} // namespace downball::shotlog
