// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "page/cards.h"

#include "page/html.h"

#include "downball/base/text.h"
#include "downball/write/sync.h"

#include <cmath>
#include <fmt/format.h>

namespace downball::page {

namespace {

class Cards {
  public:
    Cards(const PageInput& input, const std::vector<Shown>& shots) : input_(input), shots_(shots) {}

    std::string text() const {
        std::string text = "<section aria-labelledby=\"h-shots\"><h2 id=\"h-shots\">Shot by shot</h2>\n";
        text += fmt::format("<p class=\"hint\">Under each contact: how far its picture is from the beat. "
                            "Nobody notices a sound up to {:.0f} ms "
                            "ahead of its picture or {:.0f} ms after it (Rec. ITU-R BT.1359-1); half a frame "
                            "of this reel is {:.1f} ms.</p>\n"
                            "<ol class=\"cards\">\n",
                            1000 * write::picture_late_s, 1000 * write::picture_early_s,
                            500 / input_.timeline.rate.per_second());
        for (const Shown& shot : shots_)
            text += card(shot);
        return text + "</ol></section>\n";
    }

  private:
    std::string picture(Frame at, const std::string& what) const {
        const auto still = input_.stills.find(at);
        if (still == input_.stills.end()) return "<span class=\"no-still\">no picture</span>";
        return fmt::format("<img alt=\"{}\" width=\"224\" height=\"126\" decoding=\"async\" "
                           "src=\"data:image/jpeg;base64,{}\">",
                           esc(what), still->second);
    }

    // A picture that is pressed to see that frame in the preview.
    std::string pressed(Frame at, const std::string& what, const std::string& below) const {
        return fmt::format("<li><button type=\"button\" class=\"still\" data-at=\"{}\">{}</button>{}</li>",
                           at.n, picture(at, what), below);
    }

    static std::string lateness(const Hit& one) {
        const double ms = 1000 * std::abs(one.error_s);
        if (ms < 0.05) return "on the beat";
        return fmt::format("{:.1f}&nbsp;ms {} ({:.2f}&nbsp;frames)", ms, one.error_s > 0 ? "late" : "early",
                           std::abs(one.error_frames));
    }

    std::string hit(const Shown& shot, const Hit& one, std::size_t which) const {
        const bool noticed = write::noticed(one.error_s);
        const std::string skill(one.impact->skill ? to_string(*one.impact->skill) : "contact");
        const auto number = shot.hits.size() > 1 ? fmt::format(" {}", which) : std::string();
        return pressed(one.at, fmt::format("shot {}, contact{}: {}", shot.number, number, skill),
                       fmt::format("<p><b>{}</b>{} <span class=\"{}\">{}{}</span></p>", skill,
                                   one.impact->skill && !one.impact->skill_sure ? " (guessed)" : "",
                                   noticed ? "error noticed" : "error", lateness(one),
                                   noticed ? ", noticeable" : ""));
    }

    std::string speed(const Shown& shot) const {
        if (shot.slowest == shot.fastest && shot.slowest == Fraction(1)) return {};
        if (shot.slowest == shot.fastest) return fmt::format("speed {:.2f}", shot.slowest.to_double());
        return fmt::format("speeds {:.2f} to {:.2f}", shot.slowest.to_double(), shot.fastest.to_double());
    }

    std::string card(const Shown& shot) const {
        const Take& take = *shot.take;
        std::string text =
            fmt::format("<li class=\"card {0}\" id=\"shot-{1}\"><h3><button type=\"button\" class=\"from\" "
                        "data-shot=\"{1}\"><b>{1}</b> {2}</button></h3>"
                        "<p class=\"when\">{3} <span>{4:.2f} s</span></p><ul class=\"stills\">",
                        to_string(take.kind), shot.number, own_words(shot.title),
                        record_label(input_.timeline, shot.record.in),
                        to_seconds(shot.record.length(), input_.timeline.rate));
        text += pressed(shot.record.in, fmt::format("shot {}, first frame", shot.number), "<p>cut</p>");
        for (std::size_t n = 0; n < shot.hits.size(); ++n)
            text += hit(shot, shot.hits[n], n + 1);
        text += "</ul><p class=\"tags\">";
        std::vector<std::string> tags;
        const auto tag = [&](std::string_view word) {
            if (!word.empty()) tags.push_back(own_words(word));
        };
        tag(to_string(take.kind));
        tag(to_string(take.size));
        tag(to_string(take.angle));
        tag(take.camera);
        tag(speed(shot));
        tag(take.set > 0 ? fmt::format("set {}", take.set) : "");
        tag(take.moment.empty() ? "" : "moment " + take.moment);
        tag(fmt::format("rated {}", take.rating));
        text += join(tags, " &middot; ");
        text += fmt::format("</p><p class=\"file\">{}, id <code>{}</code>{}</p>",
                            own_words(shot.media ? shot.media->name : "black"), own_words(shot.plan->id),
                            take.note.empty() ? "" : ": " + own_words(take.note));
        return text + "</li>\n";
    }

    const PageInput& input_;
    const std::vector<Shown>& shots_;
};

} // namespace

std::string cards(const PageInput& input, const std::vector<Shown>& shots) {
    return Cards(input, shots).text();
}

} // namespace downball::page
