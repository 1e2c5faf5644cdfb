// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/page/page.h"

#include "page/cards.h"
#include "page/html.h"
#include "page/lanes.h"
#include "page/shots.h"
#include "page/tables.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace downball::page {

std::string_view embedded_part(std::string_view name); // made from parts/ when building

namespace {

// Nothing is loaded from anywhere, whatever a name in the log may hold, but the preview beside the page.
constexpr const char* policy =
    "default-src 'none'; img-src data:; media-src 'self' file:; style-src 'unsafe-inline'; "
    "script-src 'unsafe-inline'; base-uri 'none'; form-action 'none'";

std::string head(const PageInput& input) {
    return fmt::format(
        "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">"
        "<meta name=\"viewport\" content=\"width=device-width,initial-scale=1\">"
        "<meta http-equiv=\"Content-Security-Policy\" content=\"{}\">"
        "<meta name=\"color-scheme\" content=\"light dark\"><title>{}: the cut</title>\n<style>\n{}</style>"
        "</head>\n",
        policy, esc(input.timeline.name), embedded_part("page.css"));
}

struct Sums {
    std::size_t hits = 0, within = 0;
    double mean_ms = 0, worst_ms = 0;
};

Sums sums_of(const std::vector<Shown>& shots) {
    Sums sums;
    for (const Shown& shot : shots)
        for (const Hit& hit : shot.hits) {
            ++sums.hits;
            sums.within += std::abs(hit.error_frames) <= 0.5 + 1e-6;
            sums.mean_ms += 1000 * hit.error_s;
            sums.worst_ms = std::max(sums.worst_ms, 1000 * std::abs(hit.error_s));
        }
    if (sums.hits > 0) sums.mean_ms /= static_cast<double>(sums.hits);
    return sums;
}

std::string figure(const std::string& number, const std::string& what) {
    return fmt::format("<div><dt>{}</dt><dd>{}</dd></div>", what, number);
}

std::string figures(const PageInput& input, const std::vector<Shown>& shots) {
    const Timeline& timeline = input.timeline;
    const Sums sums = sums_of(shots);
    const auto told = warnings_told(input);
    return "<dl class=\"figures\">" +
           figure(fmt::format("{:.2f} s", to_seconds(timeline.length, timeline.rate)),
                  fmt::format("length, {} frames a second", to_string(timeline.rate))) +
           figure(fmt::format("{}", shots.size()), shots.size() == 1 ? "shot" : "shots") +
           figure(fmt::format("{} of {}", sums.within, sums.hits),
                  "contacts within half a frame of their beats") +
           figure(fmt::format("{:.1f} ms", sums.worst_ms),
                  fmt::format("farthest from its beat; on average {:.1f} ms {}", std::abs(sums.mean_ms),
                              sums.mean_ms < 0 ? "early" : "late")) +
           figure(fmt::format("{:.1f} %", 100 * input.plan.gap()),
                  "at most below the best score your limits allow") +
           figure(fmt::format("{}", told), told == 0 ? "warnings" : "<a href=\"#h-warnings\">warnings</a>") +
           "</dl>\n";
}

std::string url_of(const std::string& file) {
    std::string url = "./";
    for (const char c : file) {
        const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                           c == '-' || c == '_' || c == '.' || c == '~';
        if (plain)
            url += c;
        else
            url += fmt::format("%{:02X}", static_cast<unsigned char>(c));
    }
    return url;
}

std::string player(const PageInput& input) {
    if (input.movie.empty())
        return "<section class=\"player\" aria-label=\"Preview\"><p class=\"hint\">No preview was made with "
               "this cut: "
               "<code>downball cut JOB --preview</code> makes a movie that plays here.</p>"
               "<div id=\"glance\" inert></div></section>\n";
    return fmt::format("<section class=\"player\" aria-labelledby=\"h-preview\"><h2 id=\"h-preview\" "
                       "class=\"unseen\">Preview</h2>"
                       "<video id=\"movie\" src=\"{0}\" preload=\"auto\" playsinline aria-label=\"Preview of "
                       "{1}\"></video>\n"
                       "<p id=\"broken\" class=\"hint\" hidden>The preview {0} cannot be played here: it "
                       "must lie beside this page.</p>"
                       "<div class=\"transport\"><button type=\"button\" id=\"play\">Play</button>"
                       "<button type=\"button\" id=\"shot-before\">Shot before</button><button "
                       "type=\"button\" id=\"shot-after\">Shot after</button>"
                       "<button type=\"button\" id=\"hit-before\">Contact before</button><button "
                       "type=\"button\" id=\"hit-after\">Contact after</button>"
                       "<output id=\"now\" aria-live=\"off\">{2}</output></div></section>\n",
                       url_of(input.movie), esc(input.timeline.name), record_label(input.timeline, Frame{0}));
}

} // namespace

std::string review_page(const PageInput& input) {
    const auto shots = shots_of(input);
    const Timeline& timeline = input.timeline;
    std::string text = head(input);
    text += fmt::format("<body><a class=\"skip\" href=\"#shots\">To the shots</a><header><h1>{}</h1><p>cut "
                        "to {}</p></header>\n"
                        "<main data-rate=\"{}\" data-start=\"{}\" data-drop=\"{}\" data-frames=\"{}\">\n",
                        own_words(timeline.name), own_words(input.song), to_string(timeline.rate),
                        timeline.start.n, timeline.counting == Counting::drop ? 1 : 0, timeline.length.n);
    text += "<div class=\"top\">\n" + player(input) + figures(input, shots) + "</div>\n";
    text += lanes(input, shots);
    text += warnings(input);
    text += cards(input, shots);
    text += coverage_tables(input);
    text += score(input.plan);
    text += left_out(input);
    text += "<section aria-labelledby=\"h-show\"><h2 id=\"h-show\">Before it is shown</h2><p>Flashes and "
            "quick cuts can hurt "
            "photosensitive viewers: the counts here are measured on a small preview and are no test report. "
            "Music needs the "
            "rights to the composition and to the recording; people in the pictures, minors above all, need "
            "their consent as "
            "the organiser and local law ask it.</p></section>\n";
    text += fmt::format("</main><script>\n{}</script></body></html>\n", embedded_part("page.js"));
    return text;
}

} // namespace downball::page
