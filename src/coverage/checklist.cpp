// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "coverage/words.h"

#include "downball/base/text.h"
#include "downball/coverage/coverage.h"
#include "downball/text/html.h"

#include <algorithm>
#include <fmt/format.h>

namespace downball::coverage {
namespace {

using text::html_escaped;

constexpr std::size_t gaps_shown = 24; // what fits on the page

// Black on white, for a printer and for sunlight; boxes are drawn, so that no font need have them.
constexpr const char* style =
    "body{font:11pt/1.35 system-ui,sans-serif;color:#000;background:#fff;margin:1.5em "
    "auto;max-width:60em;padding:0 1em}"
    "h1{font-size:1.4em;margin:0}h2{font-size:1em;margin:1.2em 0 .3em}p{margin:.2em 0}"
    ".grids{display:flex;flex-wrap:wrap;gap:0 2em}"
    "table{border-collapse:collapse;font-size:.9em}th,td{border:1px solid #767676;padding:.15em "
    ".5em;text-align:center}"
    "tbody th{text-align:left}td.none{background:#e8e8e8}"
    ".box{display:inline-block;width:.8em;height:.8em;border:1.5px solid "
    "#000;vertical-align:-.08em;background:#fff}"
    "ul{list-style:none;padding:0;margin:0;columns:2}li{break-inside:avoid;margin:.15em "
    "0}li.asked{font-weight:bold}"
    ".why{color:#444}@page{margin:12mm}@media print{body{margin:0;max-width:none;font-size:9.5pt}}";

std::string table_of(const Grid& grid) {
    if (grid.rows.empty() || grid.columns.empty()) return {};
    std::string text = fmt::format(
        "<section><h2>{0}</h2><table><caption hidden>{0}</caption><thead><tr><th scope=\"col\">{1}</th>",
        html_escaped(grid.name), html_escaped(grid.row_tag));
    for (const std::string& column : grid.columns)
        text += fmt::format("<th scope=\"col\">{}</th>", html_escaped(column));
    text += "</tr></thead><tbody>\n";
    for (std::size_t row = 0; row < grid.rows.size(); ++row) {
        text += fmt::format("<tr><th scope=\"row\">{}</th>", html_escaped(grid.rows[row]));
        for (std::size_t column = 0; column < grid.columns.size(); ++column) {
            const int takes = grid.at(row, column).takes;
            text += takes > 0   ? fmt::format("<td>{}</td>", takes)
                    : grid.full ? "<td class=\"none\"><span class=\"box\" role=\"img\" "
                                  "aria-label=\"missing\"></span></td>"
                                : "<td></td>";
        }
        text += "</tr>\n";
    }
    return text + "</tbody></table></section>\n";
}

} // namespace

std::string checklist(const Coverage& coverage, const std::optional<NextChange>& next,
                      const std::string& title) {
    std::string text = fmt::format("<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">"
                                   "<meta name=\"viewport\" content=\"width=device-width,initial-scale=1\">"
                                   "<title>{0}: what to film</title><style>{1}</style></head><body><main>\n"
                                   "<h1>{0}: what to film</h1>\n<p>{2}</p>\n",
                                   html_escaped(title), style, html_escaped(in_words(coverage)));
    if (next) text += fmt::format("<p><strong>{}</strong></p>\n", html_escaped(join(in_words(*next), "; ")));
    text += "<div class=\"grids\">\n";
    for (const Grid& grid : coverage.grids)
        text += table_of(grid);
    text += "</div>\n<h2>Missing, what would add most first</h2>\n";
    if (coverage.gaps.empty())
        text += "<p>Nothing.</p>\n";
    else {
        text += "<ul>\n";
        for (std::size_t n = 0; n < std::min(gaps_shown, coverage.gaps.size()); ++n) {
            const Gap& gap = coverage.gaps[n];
            text += fmt::format("<li{}><span class=\"box\" aria-hidden=\"true\"></span> {} <span "
                                "class=\"why\">{}</span></li>\n",
                                gap.asked ? " class=\"asked\"" : "", html_escaped(gap.what),
                                html_escaped(gap.why));
        }
        text += "</ul>\n";
        if (coverage.gaps.size() > gaps_shown)
            text += fmt::format("<p class=\"why\">and {} more</p>\n", coverage.gaps.size() - gaps_shown);
    }
    return text + "<h2>On the sand</h2>\n<p>Keep out of the players' free zone: 3 m from the lines at least, "
                  "5 to 6 m at international "
                  "events. Film people as accreditation and consent allow, minors with extra care. The "
                  "organiser's and local "
                  "rules decide.</p>\n</main></body></html>\n";
}

} // namespace downball::coverage
