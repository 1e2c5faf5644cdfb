// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "read/edl_lines.h"
#include "read/rules.h"

#include "downball/base/text.h"

#include <algorithm>
#include <array>
#include <fmt/format.h>

namespace downball::read {
namespace {

const Rate ntsc_30(30000, 1001), ntsc_60(60000, 1001);

bool begins_event(std::string_view line) {
    return !line.empty() && line[0] >= '0' && line[0] <= '9';
}

class EdlReading {
  public:
    explicit EdlReading(std::string_view text) : lines_(text) {}

    Result<CutList> list(const std::string& name, std::optional<Rate> rate) {
        if (const auto fault = lines_.fault())
            return Error{Fault::bad_input, fault->what, where(name, fault->line)};
        for (const auto& [line, what] : lines_.unclean())
            breach(line, what, 1);
        const auto& all = lines_.all();
        std::size_t at = 0;
        if (at < all.size() && all[at].text.starts_with("TITLE:")) {
            list_.name = trim(all[at].text.substr(6));
            if (list_.name.empty()) breach(1, "the title is empty", 2);
            ++at;
        } else
            breach(1, "expected 'TITLE: ...' in the first line", 2);
        const bool counted = at < all.size() && all[at].text.starts_with("FCM:");
        if (counted)
            frame_count_mode(all[at++]);
        else
            breach(2, "expected 'FCM: DROP FRAME' or 'FCM: NON-DROP FRAME' in the second line", 2);
        if (auto chosen = choose_rate(name, rate); !chosen) return chosen.error();
        for (; at < all.size(); ++at)
            line(all[at]);
        finish_event();
        if (std::ranges::none_of(numbers_, [](const EventNumber& its) { return its.number >= 0; }))
            return Error{Fault::bad_input, "no event was found: this is no edit list of the CMX3600 form",
                         name};
        order_tracks();
        check_whole(list_, numbers_);
        return std::move(list_);
    }

  private:
    static std::string where(const std::string& name, std::size_t line) {
        return line > 0 ? fmt::format("{}:{}", name, line) : name;
    }

    void breach(std::size_t line, std::string what, int rule) {
        list_.breaches.push_back({fmt::format("line {}", line), std::move(what), rule});
    }

    void pass_over(const EdlLine& its) {
        list_.passed_over.push_back(fmt::format("line {}: {}", its.number, shortened(its.text)));
    }

    void frame_count_mode(const EdlLine& its) {
        const std::string_view mode = trim(its.text.substr(4));
        if (mode == "DROP FRAME")
            list_.counting = Counting::drop;
        else if (mode != "NON-DROP FRAME")
            breach(its.number,
                   fmt::format("FCM: expected DROP FRAME or NON-DROP FRAME, found '{}'", shortened(mode)), 2);
    }

    Result<void> choose_rate(const std::string& name, std::optional<Rate> told) {
        const bool drop = list_.counting == Counting::drop;
        if (told && !has_timecode(*told))
            return Error{Fault::usage, fmt::format("there is no timecode at {}", to_string(*told)), name};
        if (told && drop && !has_drop_frame(*told))
            return Error{Fault::usage,
                         fmt::format("the list counts in drop frame, which {} has not: give 29.97 or 59.94",
                                     to_string(*told)),
                         name};
        list_.rate = told ? *told : likeliest_rate();
        list_.rate_told = told.has_value();
        return {};
    }

    // In real time source and record are equally long; at a wrong rate, where a second has more or fewer frames, many
    // are not.
    Rate likeliest_rate() const {
        const bool drop = list_.counting == Counting::drop;
        const std::vector<Rate> usual = drop ? std::vector{ntsc_30, ntsc_60}
                                             : std::vector{Rate(24), Rate(25), Rate(30), Rate(50), Rate(60)};
        Rate best = usual.front();
        std::optional<std::size_t> least;
        for (const Rate rate : usual) {
            const std::size_t unfit = lines_that_do_not_fit(rate);
            if (least && unfit >= *least) continue;
            least = unfit;
            best = rate;
        }
        return best;
    }

    // Events with labels that are none at this rate, or in real time with unlike lengths.
    std::size_t lines_that_do_not_fit(Rate rate) const {
        const auto& all = lines_.all();
        std::size_t unfit = 0;
        for (std::size_t n = 0; n < all.size(); ++n) {
            if (!begins_event(all[n].text)) continue;
            const auto fields = event_fields(all[n].text);
            if (!fields) continue;
            std::array<std::int64_t, 4> at{};
            bool known = true;
            for (std::size_t k = 0; k < at.size() && known; ++k) {
                const auto label = from_timecode(fields->labels[k], rate, list_.counting);
                known = static_cast<bool>(label);
                if (known) at[k] = label->n;
            }
            const bool retimed = n + 1 < all.size() && all[n + 1].text.starts_with("M2");
            if (!known || (!retimed && at[1] - at[0] != at[3] - at[2])) ++unfit;
        }
        return unfit;
    }

    void line(const EdlLine& its) {
        const std::string_view text = its.text;
        if (trim(text).empty())
            breach(its.number, "an empty line", 2);
        else if (begins_event(text))
            event(its);
        else if (text.starts_with("M2"))
            speed(its);
        else if (text == "*" || text.starts_with("* "))
            comment(its);
        else if (text.starts_with("FCM:")) {
            pass_over(its);
            breach(its.number, "the way of counting changes inside the list", 2);
        } else {
            pass_over(its);
            breach(its.number, "neither an event nor an M2 line nor a comment", 2);
        }
    }

    // A label on a line of an event; nothing if it cannot be read, which is told.
    std::optional<Frame> label(std::size_t line, std::string_view text, bool of_event) {
        const bool drop = list_.counting == Counting::drop;
        if (text.size() == 11) {
            const char wanted = of_event && drop ? ';' : ':';
            if (text[8] != wanted)
                breach(line, fmt::format("{}: expected '{}' before the frames", text, wanted),
                       of_event ? 7 : 10);
        }
        const auto at = from_timecode(text, list_.rate, list_.counting);
        if (at) return *at;
        breach(line, at.error().what, 7);
        return std::nullopt;
    }

    void event(const EdlLine& its) {
        const auto fields = event_fields(its.text);
        // A transition is a pair of one number: a cut without length, where it comes from, then itself.
        const bool pair = fields && event_ && fields->transition != "C" && !numbers_.empty() &&
                          fields->number == numbers_.back().number && event_->record.in == event_->record.out;
        if (pair)
            event_.reset();
        else
            finish_event();
        if (!fields) {
            breach(its.number, fields.error().what, 3);
            numbers_.push_back({its.number, -1});
            return;
        }
        if (!fields->in_columns) breach(its.number, "the fields do not stand in their columns", 3);
        if (!pair) numbers_.push_back({its.number, fields->number});
        if (!known_channel(fields->channel)) {
            pass_over(its);
            return breach(its.number, fmt::format("unknown channel '{}'", shortened(fields->channel)), 6);
        }
        if (fields->channel.find("/V") != std::string::npos || fields->channel == "B")
            list_.passed_over.push_back(
                fmt::format("line {}: the sound of channel {}", its.number, fields->channel));
        if (fields->transition != "C") {
            pass_over(its);
            const bool known = known_transition(fields->transition);
            if (!known) breach(its.number, fmt::format("unknown transition '{}'", fields->transition), 6);
        } else if (!fields->duration.empty())
            breach(its.number, "a cut has no duration", 3);
        ListedEvent event;
        event.place = fmt::format("line {}", its.number);
        event.reel = fields->reel;
        event.black = fields->reel == "BL";
        if (!good_reel(fields->reel))
            breach(its.number, fmt::format("reel '{}': expected one to eight of A-Z and 0-9", fields->reel),
                   5);
        std::array<std::optional<Frame>, 4> at;
        for (std::size_t n = 0; n < at.size(); ++n)
            at[n] = label(its.number, fields->labels[n], true);
        if (!std::ranges::all_of(at, [](const auto& one) { return one.has_value(); })) return;
        event.source = {*at[0], *at[1]};
        event.record = {*at[2], *at[3]};
        event.track = track_of(fields->channel);
        event_ = std::move(event);
        event_line_ = its.number;
    }

    void speed(const EdlLine& its) {
        if (!event_ || its.number != event_line_ + 1)
            return breach(its.number, "an M2 line that does not follow its event directly", 9);
        const auto fields = speed_fields(its.text);
        if (!fields) return breach(its.number, fields.error().what, 10);
        if (fields->reel != event_->reel)
            breach(its.number,
                   fmt::format("M2 of reel {} under an event of reel {}", fields->reel, event_->reel), 10);
        const auto at = label(its.number, fields->label, false);
        if (at && *at != event_->source.in)
            breach(its.number, "the M2 timecode is not the event's source in", 10);
        event_->retimed = true;
        event_->speed = fields->frames_per_second / list_.rate.per_second();
        event_->speed_slack = 0.05 / list_.rate.per_second();
    }

    void comment(const EdlLine& its) {
        if (list_.events.empty() && !event_) {
            if (numbers_.empty()) breach(its.number, "a comment before the first event", 2);
            return;
        }
        if (!event_) return;
        const std::string_view text = trim(its.text.substr(1));
        constexpr std::string_view clip = "FROM CLIP NAME:", mark = "LOC:", sound = "NATURAL SOUND OF ";
        // Exactly "* KEY: value"; anything near it is read, but told.
        const auto value_of = [&](std::string_view key, int rule) {
            const std::string_view rest = text.substr(key.size());
            if (its.text.substr(2, key.size()) != key || !rest.starts_with(' '))
                breach(its.number,
                       fmt::format("expected '* {} ...' with one blank after star and colon", key), rule);
            return trim(rest);
        };
        if (text.starts_with(clip))
            clip_name(its, value_of(clip, 11));
        else if (text.starts_with(mark))
            marker(its, value_of(mark, 12));
        else if (text.starts_with(sound))
            event_->shot = text.substr(sound.size(), text.find(',') - sound.size());
    }

    void clip_name(const EdlLine& its, std::string_view file) {
        if (!event_->file.empty()) breach(its.number, "a second clip name", 11);
        if (file.empty() || file.find_first_of("/\\") != std::string_view::npos)
            breach(its.number, fmt::format("'{}' is no file name", shortened(file)), 11);
        else
            event_->file = file;
    }

    // The timecode, a blank, the colour, blanks, the text.
    void marker(const EdlLine& its, std::string_view rest) {
        const auto at = label(its.number, rest.substr(0, rest.find(' ')), false);
        const auto words =
            rest.find(' ') == std::string_view::npos ? std::string_view() : rest.substr(rest.find(' ') + 1);
        const auto colour = words.substr(0, words.find(' '));
        const auto said = trim(words.substr(colour.size()));
        if (colour.empty() || said.empty())
            return breach(its.number, "expected timecode, one blank, colour and text of a marker", 12);
        if (!known_colour(colour))
            breach(its.number, fmt::format("marker colour '{}' is none that readers know", shortened(colour)),
                   12);
        if (!at) return;
        if (!event_->record.contains(*at)) breach(its.number, "the marker lies outside its event", 12);
        event_->marks.push_back({*at, std::string(said)});
    }

    void finish_event() {
        if (event_) list_.events.push_back(std::move(*event_));
        event_.reset();
    }

    // All picture is one track, with or without sound of its own.
    std::size_t track_of(std::string channel) {
        const bool picture = channel.find('V') != std::string::npos || channel == "B";
        if (picture) channel = "V";
        const auto known = std::ranges::find(list_.tracks, channel, &ListedTrack::name);
        if (known != list_.tracks.end()) return static_cast<std::size_t>(known - list_.tracks.begin());
        list_.tracks.push_back({channel, picture});
        return list_.tracks.size() - 1;
    }

    // Picture first, as in other lists; else in the order they come.
    void order_tracks() {
        const auto picture = std::ranges::find_if(list_.tracks, &ListedTrack::picture);
        if (picture == list_.tracks.end()) return;
        const auto from = static_cast<std::size_t>(picture - list_.tracks.begin());
        std::rotate(list_.tracks.begin(), picture, picture + 1);
        for (ListedEvent& event : list_.events)
            if (event.track <= from) event.track = event.track == from ? 0 : event.track + 1;
    }

    EdlLines lines_;
    CutList list_;
    std::optional<ListedEvent> event_;
    std::size_t event_line_ = 0;
    std::vector<EventNumber> numbers_;
};

} // namespace

Result<CutList> edl(std::string_view text, const std::string& name, std::optional<Rate> rate) {
    return EdlReading(text).list(name, rate);
}

} // namespace downball::read
