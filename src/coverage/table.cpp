// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "coverage/words.h"

#include "downball/coverage/coverage.h"

#include <algorithm>
#include <fmt/format.h>

namespace downball::coverage {
namespace {

constexpr std::size_t gaps_shown = 12;

std::string cell(const Count& count) {
    if (count.takes == 0) return "-";
    return count.shots > 0 ? fmt::format("{} ({})", count.takes, count.shots)
                           : fmt::format("{}", count.takes);
}

// As wide as it is printed; fmt pads by that, where size() counts bytes.
std::size_t width(const std::string& text) {
    return static_cast<std::size_t>(std::ranges::count_if(text, [](char c) { return (c & 0xC0) != 0x80; }));
}

std::string lines_of(const Grid& grid) {
    if (grid.rows.empty() || grid.columns.empty()) return {};
    std::size_t first = width(grid.row_tag);
    for (const std::string& row : grid.rows)
        first = std::max(first, width(row));
    std::string text = fmt::format("{}\n  {:<{}}", grid.name, grid.row_tag, first);
    for (const std::string& column : grid.columns)
        text += fmt::format("  {:>{}}", column, std::max<std::size_t>(7, width(column)));
    text += "\n";
    for (std::size_t row = 0; row < grid.rows.size(); ++row) {
        text += fmt::format("  {:<{}}", grid.rows[row], first);
        for (std::size_t column = 0; column < grid.columns.size(); ++column)
            text += fmt::format("  {:>{}}", cell(grid.at(row, column)),
                                std::max<std::size_t>(7, width(grid.columns[column])));
        text += "\n";
    }
    return text + "\n";
}

} // namespace

std::string in_words(const NextChange& next) {
    const std::string at = fmt::format("set {}, {}-{}", next.set, next.score.a, next.score.b);
    if (next.in_points == 0) return at + ": the set is over";
    return fmt::format("{}: change of ends in {} point{}, when {} are played{}", at, next.in_points,
                       next.in_points == 1 ? "" : "s", next.at_sum,
                       next.may_end_before ? ", unless the set ends first" : "");
}

std::string in_words(const Coverage& coverage) {
    const Count& all = coverage.all;
    std::string text = fmt::format("{} take{}, {:.0f} s", all.takes, all.takes == 1 ? "" : "s", all.take_s);
    if (all.shots > 0)
        text += fmt::format("; {} shot{}, {:.0f} s in the last cut", all.shots, all.shots == 1 ? "" : "s",
                            all.shot_s);
    return text + fmt::format("; {} can run in slow motion", coverage.slow_motion.takes);
}

std::string table(const Coverage& coverage, const std::optional<NextChange>& next) {
    std::string text = in_words(coverage) + "\n";
    if (next) text += in_words(*next) + "\n";
    text += coverage.all.shots > 0 ? "Takes that show it; in brackets shots of the last cut.\n\n"
                                   : "Takes that show it.\n\n";
    for (const Grid& grid : coverage.grids)
        text += lines_of(grid);
    if (coverage.gaps.empty()) return text + "Nothing is missing.\n";
    text += "Missing, what would add most first\n";
    for (std::size_t n = 0; n < std::min(gaps_shown, coverage.gaps.size()); ++n) {
        const Gap& gap = coverage.gaps[n];
        text += fmt::format("  {} {}: {}\n", gap.asked ? "!" : "-", gap.what, gap.why);
    }
    if (coverage.gaps.size() > gaps_shown)
        text += fmt::format("  ... and {} more (--format json has all)\n", coverage.gaps.size() - gaps_shown);
    return text;
}

} // namespace downball::coverage
