// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "page/lanes.h"

#include "page/html.h"

#include "downball/write/sync.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace downball::page {

namespace {

// Lanes that are drawn have record frames across and 0..100 down.
constexpr double drawn_high = 100;

class Lanes {
  public:
    Lanes(const PageInput& input, const std::vector<Shown>& shots)
        : input_(input), shots_(shots), length_(input.timeline.length), rate_(input.timeline.rate),
          offset_s_(write::song_offset_s(input.timeline)) {}

    std::string text() const {
        return fmt::format(
            "<section aria-labelledby=\"h-song\"><h2 id=\"h-song\">Song and shots</h2>\n"
            "<p class=\"hint\">{} Everything below lies under the moment of the song it is heard with; the "
            "band around the beat "
            "is half a frame wide on either side.</p>\n"
            "<div class=\"tune\"><label for=\"zoom\">Width of a second</label> "
            "<input id=\"zoom\" type=\"range\" min=\"0\" max=\"160\" step=\"4\" value=\"48\"></div>\n"
            "<div class=\"stave\"><div class=\"lane-names\" aria-hidden=\"true\">"
            "<span class=\"ruler\">Bars</span><span class=\"sections\">Sections</span>"
            "<span class=\"wave\">Song, beats<small>line: energy</small></span>{}"
            "<span class=\"shots\">Shots<small>notch: contact</small></span>"
            "<span class=\"sync\"><small>1 frame late</small>Off the beat<small>1 frame early</small></span>"
            "<span class=\"pace\"><small>{:.2f} s</small>Length of shots<small>hill: energy</small>"
            "<small>{:.2f} s</small></span></div>\n"
            "<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"Song and shots over time\">"
            "<div class=\"lanes\" style=\"--s:{:.3f}\">\n{}{}{}{}{}{}{}"
            "<div class=\"playhead\" id=\"playhead\" hidden></div></div></div></div>\n{}</section>\n",
            keys(), risky() ? "<span class=\"risks\">Warnings</span>" : "", limits().shortest_s,
            limits().longest_s, to_seconds(length_, rate_), ruler(), sections(), wave(), risks(), blocks(),
            sync(), pace(), legend());
    }

  private:
    const Pacing& limits() const { return input_.limits.pacing; }
    double frame_of(const Beat& beat) const { return (beat.seconds - offset_s_) * rate_.per_second(); }
    bool inside(double frame) const { return frame > -0.5 && frame < static_cast<double>(length_.n); }
    double share(double frame) const {
        return std::clamp(100 * frame / static_cast<double>(std::max<std::int64_t>(length_.n, 1)), 0.0,
                          100.0);
    }

    const char* keys() const {
        return input_.movie.empty()
                   ? "<span class=\"keys\">Arrow keys left and right go from shot to shot, up and down from "
                     "contact to "
                     "contact.</span>"
                   : "A click on a shot plays from there.<span class=\"keys\"> Arrow keys left and right "
                     "play "
                     "the shot before and after, up and down stand on the contact before and after, space "
                     "plays and pauses.</span>";
    }

    std::string drawing(const char* lane, const std::string& tells, const std::string& inner) const {
        return fmt::format(
            "<div class=\"lane {}\"><svg viewBox=\"0 0 {} {}\" preserveAspectRatio=\"none\" role=\"img\" "
            "aria-label=\"{}\">{}</svg></div>\n",
            lane, std::max<std::int64_t>(length_.n, 1), drawn_high, esc(tells), inner);
    }

    std::string ruler() const {
        std::string text = "<div class=\"lane ruler\" aria-hidden=\"true\">";
        int bar = 0;
        for (const Beat& beat : input_.beats.beats) {
            if (beat.position != 1) continue;
            const double frame = frame_of(beat);
            if (!inside(frame)) continue;
            ++bar; // every other one is named, which is all there is room for
            text += fmt::format("<span style=\"left:{:.4f}%\">{}</span>", share(frame),
                                bar % 2 == 1 ? std::to_string(bar) : "");
        }
        return text + "</div>\n";
    }

    std::string sections() const {
        const auto& beats = input_.beats.beats;
        std::string text = "<div class=\"lane sections\" role=\"list\" aria-label=\"Sections of the song\">";
        int number = 0;
        for (const Section& section : input_.beats.sections) {
            if (section.first >= beats.size()) continue;
            const double from = frame_of(beats[section.first]);
            const double to =
                section.last < beats.size() ? frame_of(beats[section.last]) : static_cast<double>(length_.n);
            const double left =
                number == 0 && inside(from) && from < 2 * rate_.per_second() ? 0 : share(from);
            if (share(to) - left < 0.01) continue;
            text += fmt::format("<span role=\"listitem\" style=\"left:{:.4f}%;width:{:.4f}%\"><b>{}</b> "
                                "energy {:.0f} %</span>",
                                left, share(to) - left, ++number, 100 * section.energy);
        }
        return text + "</div>\n";
    }

    std::string wave() const {
        std::string inner;
        const auto& peaks = input_.waveform;
        if (!peaks.empty()) {
            const double step = static_cast<double>(length_.n) / static_cast<double>(peaks.size());
            std::string around;
            const auto point = [&](std::size_t n, double side) {
                around += fmt::format("{:.1f},{:.1f} ", (static_cast<double>(n) + 0.5) * step,
                                      50 + side * 48 * std::clamp(static_cast<double>(peaks[n]), 0.0, 1.0));
            };
            for (std::size_t n = 0; n < peaks.size(); ++n)
                point(n, -1);
            for (std::size_t n = peaks.size(); n-- > 0;)
                point(n, 1);
            inner += fmt::format("<polygon class=\"peaks\" points=\"{}\"/>", around);
        }
        std::string ticks, strong;
        for (const Beat& beat : input_.beats.beats) {
            const double x = frame_of(beat);
            if (!inside(x)) continue;
            (beat.position == 1 ? strong : ticks) +=
                beat.position == 1 ? fmt::format("M{:.2f} 0V100", x) : fmt::format("M{:.2f} 30V70", x);
        }
        inner +=
            fmt::format("<path class=\"beat\" d=\"{}\"/><path class=\"downbeat\" d=\"{}\"/>", ticks, strong);
        inner += fmt::format("<path class=\"energy\" d=\"{}\"/>", energy_line());
        return drawing("wave", song_in_words(), inner);
    }

    std::string song_in_words() const {
        const BeatGrid& grid = input_.beats;
        return fmt::format("{}: {:.1f} beats a minute, {} beats to the bar", input_.song, grid.tempo_bpm,
                           grid.beats_per_bar > 0 ? fmt::format("{}", grid.beats_per_bar)
                                                  : "an unknown number of");
    }

    std::string energy_line() const {
        std::string path;
        for (const Beat& beat : input_.beats.beats) {
            const double x = frame_of(beat);
            if (x > static_cast<double>(length_.n) || x < -4 * rate_.per_second()) continue;
            path +=
                fmt::format("{}{:.1f} {:.1f}", path.empty() ? 'M' : 'L', x, drawn_high * (1 - beat.energy));
        }
        return path;
    }

    bool risky() const {
        return std::ranges::any_of(input_.warnings, [](const Warning& one) { return one.at.has_value(); });
    }

    std::string risks() const {
        if (!risky()) return {};
        std::string text = "<div class=\"lane risks\" role=\"list\" aria-label=\"Warnings in their places\">";
        for (std::size_t n = 0; n < input_.warnings.size(); ++n) {
            const Warning& one = input_.warnings[n];
            if (!one.at) continue;
            text += fmt::format("<span role=\"listitem\" style=\"left:{}%;width:{}%\"><a "
                                "href=\"#warning-{}\" tabindex=\"-1\" title=\"{}\">"
                                "!<span class=\"unseen\"> {}</span></a></span>",
                                percent(one.at->in, length_), percent(one.at->length(), length_), n + 1,
                                esc(one.text), esc(one.text));
        }
        return text + "</div>\n";
    }

    // What a block says to who does not see it.
    std::string spoken(const Shown& shot) const {
        std::string text = fmt::format("Shot {}: {}, at {}, {:.2f} s", shot.number, shot.title,
                                       record_label(input_.timeline, shot.record.in),
                                       to_seconds(shot.record.length(), rate_));
        if (shot.slowest < Fraction(1)) text += fmt::format(", slowed to {:.2f}", shot.slowest.to_double());
        if (!shot.hits.empty())
            text += fmt::format(", {} on the beat", shot.hits.size() == 1
                                                        ? "one contact"
                                                        : fmt::format("{} contacts", shot.hits.size()));
        return text;
    }

    std::string blocks() const {
        std::string text = "<div class=\"lane shots\" role=\"toolbar\" aria-label=\"Shots\" id=\"shots\">";
        for (const Shown& shot : shots_) {
            std::string frames, notches;
            for (const Hit& hit : shot.hits) {
                frames += fmt::format("{}{}", frames.empty() ? "" : " ", hit.at.n);
                notches += fmt::format("<i style=\"left:{}%\"></i>",
                                       percent(hit.at - shot.record.in, shot.record.length()));
            }
            text += fmt::format(
                "<button type=\"button\" class=\"{}{}\" style=\"left:{}%;width:{}%\" data-in=\"{}\" "
                "data-out=\"{}\" data-hits=\"{}\" tabindex=\"{}\" aria-label=\"{}\" title=\"{}\">{}"
                "<b>{}</b> {}</button>\n",
                to_string(shot.take->kind), shot.slowest < Fraction(1) ? " slow" : "",
                percent(shot.record.in, length_), percent(shot.record.length(), length_), shot.record.in.n,
                shot.record.out.n, frames, shot.number == 1 ? 0 : -1, esc(spoken(shot)), esc(shot.title),
                notches, shot.number, own_words(shot.title));
        }
        return text + "</div>\n";
    }

    // A frame up and down; what lies beyond stands at the rim.
    std::string sync() const {
        std::string inner = "<rect class=\"half\" x=\"0\" y=\"27\" width=\"100%\" height=\"46\"/>"
                            "<path class=\"middle\" d=\"M0 50H100000\"/>";
        std::string dots;
        double worst = 0;
        std::size_t hits = 0;
        for (const Shown& shot : shots_)
            for (const Hit& hit : shot.hits) {
                const double y = 50 - 46 * std::clamp(hit.error_frames, -1.0, 1.0);
                dots += fmt::format("M{:.1f} {:.1f}h0", static_cast<double>(hit.at.n) + 0.5, y);
                worst = std::max(worst, 1000 * std::abs(hit.error_s));
                ++hits;
            }
        inner += fmt::format("<path class=\"dots\" d=\"{}\"/>", dots);
        return drawing(
            "sync",
            fmt::format(
                "How far the pictures of {} contacts are from their beats: at most {:.1f} ms, half a frame "
                "is {:.1f} ms",
                hits, worst, 500 / rate_.per_second()),
            inner);
    }

    // A shot's place between the longest and the shortest length, as a ratio: that of the energy it would follow to the
    // letter, see solve/terms.h.
    double quickness(double length_s) const {
        const double span = std::log(limits().longest_s / limits().shortest_s);
        return span > 0 ? std::clamp(std::log(limits().longest_s / length_s) / span, 0.0, 1.0) : 0.5;
    }

    std::string pace() const {
        const auto energy = energy_line();
        std::string steps, inner;
        double shortest = 1e9, longest = 0;
        for (const Shown& shot : shots_) {
            const double length_s = to_seconds(shot.record.length(), rate_);
            steps += fmt::format("{}{} {:.1f}H{}", steps.empty() ? 'M' : 'L', shot.record.in.n,
                                 4 + 92 * (1 - quickness(length_s)), shot.record.out.n);
            shortest = std::min(shortest, length_s);
            longest = std::max(longest, length_s);
        }
        if (!energy.empty())
            inner += fmt::format("<path class=\"hill\" d=\"{}L{} 100L0 100Z\"/>", energy, length_.n);
        inner += fmt::format("<path class=\"steps\" d=\"{}\"/>", steps);
        return drawing("pace",
                       fmt::format("Shots last {:.2f} to {:.2f} s", shots_.empty() ? 0 : shortest, longest),
                       inner);
    }

    static std::string legend() {
        std::string text = "<ul class=\"legend\" aria-label=\"Kinds of shots\">";
        for (const Kind kind :
             {Kind::action, Kind::reaction, Kind::celebration, Kind::cutaway, Kind::establishing})
            text += fmt::format("<li><span class=\"swatch {0}\" aria-hidden=\"true\"></span>{0}</li>",
                                to_string(kind));
        return text +
               "<li><span class=\"swatch action slow\" aria-hidden=\"true\"></span>slow motion</li></ul>\n";
    }

    const PageInput& input_;
    const std::vector<Shown>& shots_;
    Frame length_;
    Rate rate_;
    double offset_s_;
};

} // namespace

std::string lanes(const PageInput& input, const std::vector<Shown>& shots) {
    return Lanes(input, shots).text();
}

} // namespace downball::page
