// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/base/text.h"
#include "downball/coverage/coverage.h"
#include "downball/text/csv.h"
#include "downball/text/json.h"

#include <cmath>
#include <fmt/format.h>

namespace downball::coverage {
namespace {

using text::Json;
using text::JsonArray;
using text::JsonObject;

double tidy(double seconds) {
    return std::round(seconds * 1000) / 1000;
}

// The apostrophe tells spreadsheets that text follows.
std::string plain(const std::string& word) {
    return like_a_formula(word) ? "'" + word : word;
}

JsonObject counts(const Count& count) {
    return {{"takes", count.takes},
            {"take_s", tidy(count.take_s)},
            {"shots", count.shots},
            {"shot_s", tidy(count.shot_s)}};
}

Json grid_of(const Grid& grid) {
    JsonArray cells;
    for (std::size_t row = 0; row < grid.rows.size(); ++row)
        for (std::size_t column = 0; column < grid.columns.size(); ++column) {
            JsonObject cell{{grid.row_tag, grid.rows[row]}, {grid.column_tag, grid.columns[column]}};
            for (auto& member : counts(grid.at(row, column)))
                cell.push_back(std::move(member));
            cells.push_back(std::move(cell));
        }
    return JsonObject{{"name", grid.name}, {"cells", std::move(cells)}};
}

} // namespace

std::string csv(const Coverage& coverage) {
    text::CsvTable table;
    table.header = {"table", "row", "column", "takes", "take_s", "shots", "shot_s"};
    table.line_end = "\r\n"; // as RFC 4180 has it
    const auto add = [&](const std::string& name, const std::string& row, const std::string& column,
                         const Count& count) {
        table.rows.push_back({name, plain(row), plain(column), fmt::format("{}", count.takes),
                              fmt::format("{:.3f}", count.take_s), fmt::format("{}", count.shots),
                              fmt::format("{:.3f}", count.shot_s)});
    };
    for (const Grid& grid : coverage.grids)
        for (std::size_t row = 0; row < grid.rows.size(); ++row)
            for (std::size_t column = 0; column < grid.columns.size(); ++column)
                add(grid.name, grid.rows[row], grid.columns[column], grid.at(row, column));
    add("slow motion", "", "", coverage.slow_motion);
    add("all", "", "", coverage.all);
    return text::write_csv(table);
}

std::string json(const Coverage& coverage, const std::optional<NextChange>& next) {
    JsonArray grids, gaps;
    for (const Grid& grid : coverage.grids)
        grids.push_back(grid_of(grid));
    for (const Gap& gap : coverage.gaps)
        gaps.push_back(JsonObject{
            {"what", gap.what}, {"why", gap.why}, {"points", tidy(gap.points)}, {"asked", gap.asked}});
    Json root = JsonObject{{"downball_coverage", 1},
                           {"all", counts(coverage.all)},
                           {"slow_motion", counts(coverage.slow_motion)},
                           {"grids", std::move(grids)},
                           {"gaps", std::move(gaps)}};
    if (next)
        root.add("next_change", JsonObject{{"set", next->set},
                                           {"a", next->score.a},
                                           {"b", next->score.b},
                                           {"in_points", next->in_points},
                                           {"at_sum", next->at_sum},
                                           {"may_end_before", next->may_end_before}});
    return text::to_text(root);
}

} // namespace downball::coverage
