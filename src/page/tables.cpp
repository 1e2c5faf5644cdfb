// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "page/tables.h"

#include "page/html.h"
#include "page/shots.h"

#include "downball/base/notes.h"
#include "downball/base/text.h"

#include <algorithm>
#include <array>
#include <fmt/format.h>

namespace downball::page {

namespace {

struct TermWords {
    std::string_view name, says;
};

// What a term of the score asks, in the order and by the names of solve/terms.h.
constexpr std::array<TermWords, 15> term_words{{
    {"sync", "contacts and borders near their beats"},
    {"accent", "strong contacts on strong beats"},
    {"confidence", "contacts that were heard surely"},
    {"rating", "takes that are rated high"},
    {"rally", "several contacts of a rally on beats"},
    {"pace", "shots shorter where the song has energy"},
    {"keep", "near to the last cut"},
    {"variety", "no two alike in a row"},
    {"reaction", "reactions after their own action"},
    {"spread", "shots without action spread, actions of a set together"},
    {"chronology", "the order of the day"},
    {"side", "screen side kept across cuts"},
    {"story", "opening, peak and ending"},
    {"coverage", "players and skills that are seen"},
    {"fresh", "takes not shown before"},
}};

std::string_view words_for(std::string_view term) {
    const auto at = std::ranges::find(term_words, term, &TermWords::name);
    return at == term_words.end() ? std::string_view() : at->says;
}

std::string cell(const coverage::Count& count, bool full) {
    if (count.takes == 0)
        return full ? "<td class=\"none\"><span class=\"unseen\">no take</span><span "
                      "aria-hidden=\"true\">&ndash;</span></td>"
                    : "<td></td>";
    const char* how = count.shots == 0 ? " class=\"idle\"" : " class=\"seen\"";
    return fmt::format("<td{}><b>{}</b><span class=\"of\"> of {}</span></td>", how, count.shots, count.takes);
}

std::string matrix(const PageInput& input, const coverage::Grid& grid) {
    if (grid.rows.empty() || grid.columns.empty()) return {};
    std::string text =
        fmt::format("<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"{0}\"><table "
                    "class=\"matrix\"><caption>{0}</caption><thead><tr><th scope=\"col\">{1}</th>",
                    esc(grid.name), esc(grid.row_tag));
    for (const std::string& column : grid.columns)
        text += fmt::format("<th scope=\"col\">{}</th>", own_words(column));
    text += "</tr></thead><tbody>\n";
    for (std::size_t row = 0; row < grid.rows.size(); ++row) {
        const std::string& said = grid.rows[row];
        text += fmt::format("<tr><th scope=\"row\">{}</th>",
                            own_words(grid.row_tag == "player" ? name_of(input, said) : said));
        for (std::size_t column = 0; column < grid.columns.size(); ++column)
            text += cell(grid.at(row, column), grid.full);
        text += "</tr>\n";
    }
    return text + "</tbody></table></div>\n";
}

// Those of no place in the reel say the same of many takes, a line for all; the others stand one by one.
struct Sorted {
    std::vector<std::pair<std::size_t, const Warning*>> placed; // with their number among all, from 1
    std::vector<std::string> general;
};

Sorted sorted(const std::vector<Warning>& warnings) {
    Sorted all;
    std::vector<std::string> general;
    for (std::size_t n = 0; n < warnings.size(); ++n)
        if (warnings[n].at)
            all.placed.emplace_back(n + 1, &warnings[n]);
        else
            general.push_back(warnings[n].text);
    all.general = group_notes(general);
    return all;
}

} // namespace

std::string warnings(const PageInput& input) {
    std::string text = "<section aria-labelledby=\"h-warnings\"><h2 id=\"h-warnings\">Warnings</h2>\n";
    const auto all = sorted(input.warnings);
    if (all.placed.empty() && all.general.empty()) return text + "<p>None.</p></section>\n";
    text += "<ul class=\"warnings\">\n";
    for (const auto& [number, one] : all.placed)
        text += fmt::format(
            "<li id=\"warning-{}\">{} <button type=\"button\" class=\"go\" data-at=\"{}\">show {}"
            "</button></li>\n",
            number, own_words(one->text), one->at->in.n, record_label(input.timeline, one->at->in));
    for (const std::string& line : all.general)
        text += fmt::format("<li>{}</li>\n", own_words(line));
    return text + "</ul></section>\n";
}

std::size_t warnings_told(const PageInput& input) {
    const auto all = sorted(input.warnings);
    return all.placed.size() + all.general.size();
}

std::string score(const CutPlan& plan) {
    std::string text = fmt::format(
        "<section aria-labelledby=\"h-score\"><h2 id=\"h-score\">Score</h2>\n<p><b>{:.3f}</b> points; no cut "
        "within the limits "
        "can have more than {:.3f} (proven): a gap of {:.1f} %.</p>\n<div class=\"wide\" tabindex=\"0\" "
        "role=\"region\" "
        "aria-label=\"Terms of the score\"><table class=\"terms\"><caption class=\"unseen\">What makes the "
        "score</caption>"
        "<thead><tr><th scope=\"col\">Term</th><th scope=\"col\">What it asks</th><th "
        "scope=\"col\">Value</th>"
        "<th scope=\"col\">Weight</th><th scope=\"col\">Points</th></tr></thead><tbody>\n",
        plan.score, plan.limit, 100 * plan.gap());
    for (const TermScore& term : plan.terms)
        text += fmt::format("<tr><th scope=\"row\">{}</th><td>{}</td><td class=\"value\"><span class=\"bar\" "
                            "aria-hidden=\"true\"><i "
                            "style=\"width:{:.0f}%\"></i></span>{:.2f}</td><td>{:.2f}</td><td>{:.3f}</td>"
                            "</tr>\n",
                            esc(term.name), words_for(term.name), 100 * std::clamp(term.value, 0.0, 1.0),
                            term.value, term.weight, term.points());
    return text + "</tbody></table></div></section>\n";
}

std::string coverage_tables(const PageInput& input) {
    std::string text =
        "<section aria-labelledby=\"h-coverage\"><h2 id=\"h-coverage\">Who and what is seen</h2>\n"
        "<p class=\"hint\">Shots in this reel, of takes that could be used; a dash where there is no "
        "take.</p>\n"
        "<div class=\"matrices\">\n";
    for (const coverage::Grid& grid : input.coverage.grids)
        text += matrix(input, grid);
    return text + "</div></section>\n";
}

std::string left_out(const PageInput& input) {
    std::string text = fmt::format(
        "<section aria-labelledby=\"h-left\"><h2 id=\"h-left\">Left out</h2>\n<details><summary>{} of {} "
        "takes are not in this reel</summary>\n<div class=\"wide\" tabindex=\"0\" role=\"region\" "
        "aria-label=\"Takes left out\"><table class=\"left\"><caption class=\"unseen\">Takes left "
        "out</caption>"
        "<thead><tr><th scope=\"col\">Take</th><th scope=\"col\">Shows</th><th scope=\"col\">File</th>"
        "<th scope=\"col\">Why</th></tr></thead><tbody>\n",
        input.left_out.size(), input.log.takes.size());
    for (const solve::LeftOut& one : input.left_out) {
        const Take& take = input.log.takes[one.take];
        std::vector<std::string> shows{std::string(to_string(take.kind))};
        for (const Skill skill : take.skills)
            shows.emplace_back(to_string(skill));
        shows.insert(shows.end(), take.players.begin(), take.players.end());
        text += fmt::format("<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td><td>{}</td></tr>\n",
                            own_words(take.id), own_words(join(shows, ", ")),
                            own_words(input.log.media[take.media].name), own_words(one.why));
    }
    return text + "</tbody></table></div></details></section>\n";
}

} // namespace downball::page
