// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "coverage/words.h"

#include "downball/base/text.h"
#include "downball/coverage/coverage.h"
#include "downball/match/ends.h"

#include <algorithm>
#include <fmt/format.h>
#include <span>

namespace downball::coverage {
namespace {

constexpr std::size_t gaps_shown = 12;
constexpr std::size_t rallies_shown = 24;

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

// Columns of which nothing is known are left out.
std::string lines_of(const std::vector<Rally>& rallies) {
    if (rallies.empty()) return {};
    const std::size_t shown = std::min(rallies_shown, rallies.size());
    const std::span last(rallies.end() - static_cast<std::ptrdiff_t>(shown), rallies.end());
    std::size_t left = 0, serve = 0;
    for (const Rally& rally : last) {
        left = std::max(left, width(rally.left));
        serve = std::max(serve, width(serve_of(rally)));
    }
    const auto line = [&](const std::string& set, const std::string& score, const std::string& on_left,
                          const std::string& server, const std::string& takes) {
        std::string text = fmt::format("  {:<3}  {:<7}", set, score);
        if (left > 0) text += fmt::format("  {:<{}}", on_left, std::max(left, std::size_t{4}));
        if (serve > 0) text += fmt::format("  {:<{}}", server, std::max(serve, std::size_t{5}));
        return text + fmt::format("  {:>5}\n", takes);
    };
    std::string text = "rallies by score";
    if (shown < rallies.size())
        text += fmt::format(", the last {} of {} (--format json has all)", shown, rallies.size());
    text += "\n" + line("set", "score", "left", "serve", "takes");
    for (const Rally& rally : last)
        text += line(fmt::format("{}", rally.set), match::to_string(rally.score),
                     rally.left.empty() ? "-" : rally.left, serve_of(rally).empty() ? "-" : serve_of(rally),
                     fmt::format("{}", rally.takes.size()));
    return text + "\n";
}

} // namespace

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
    if (next) text += join(in_words(*next), "\n  ") + "\n";
    text += coverage.all.shots > 0 ? "Takes that show it; in brackets shots of the last cut.\n\n"
                                   : "Takes that show it.\n\n";
    for (const Grid& grid : coverage.grids)
        text += lines_of(grid);
    text += lines_of(coverage.rallies);
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
