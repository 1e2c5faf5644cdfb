// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "coverage/words.h"

#include "downball/base/text.h"
#include "downball/coverage/coverage.h"
#include "downball/match/ends.h"
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

Json rally_of(const Rally& rally) {
    JsonArray takes;
    for (const std::string& id : rally.takes)
        takes.push_back(id);
    return JsonObject{{"set", rally.set},         {"a", rally.score.a},       {"b", rally.score.b},
                      {"left", rally.left},       {"serving", rally.serving}, {"server", rally.server},
                      {"takes", std::move(takes)}};
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
    for (const Rally& rally : coverage.rallies) {
        const auto at = fmt::format("set {}, {}", rally.set, match::to_string(rally.score));
        const auto row = [&](const std::string& name, const std::string& column) {
            table.rows.push_back(
                {name, at, plain(column), fmt::format("{}", rally.takes.size()), "", "", ""});
        };
        row("rallies by left team", rally.left);
        row("rallies by server", serve_of(rally));
    }
    for (const Gap& gap : coverage.gaps)
        table.rows.push_back({"missing", plain(gap.what), plain(gap.why), "", "", "", ""});
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
    JsonArray rallies;
    for (const Rally& rally : coverage.rallies)
        rallies.push_back(rally_of(rally));
    root.add("rallies", std::move(rallies));
    if (next)
        root.add("next_change", JsonObject{{"set", next->set},
                                           {"a", next->score.a},
                                           {"b", next->score.b},
                                           {"in_points", next->in_points},
                                           {"at_sum", next->at_sum},
                                           {"may_end_before", next->may_end_before},
                                           {"change_now", next->change_now},
                                           {"time_out_now", next->time_out_now},
                                           {"time_out_in_points", next->time_out_in_points},
                                           {"left", next->left},
                                           {"set_point", next->set_point},
                                           {"won", next->won}});
    return text::to_text(root);
}

} // namespace downball::coverage
