// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "read/otio_clip.h"
#include "read/otio_values.h"

#include "downball/base/text.h"

#include <algorithm>
#include <fmt/format.h>
#include <span>

namespace downball::read {

using text::Json;

namespace {

class OtioTimeline {
  public:
    OtioTimeline(const Json& root, CutList& list)
        : root_(root), list_(list), values_(list), clips_(values_) {}

    void read() {
        list_.name = text_of(root_, "name");
        list_.own_rate = true;
        values_.is(root_, "", "Timeline");
        values_.look_over(root_, "", {"global_start_time", "tracks"});
        read_counting();
        read_start();
        const Json* stack = root_.find("tracks");
        if (!stack || !values_.is(*stack, "/tracks", "Stack")) {
            if (!stack) values_.breach("", "there are no tracks, expected a Stack.1", 16);
            return;
        }
        values_.look_over(*stack, "/tracks", {"children", "source_range", "effects", "markers", "enabled"});
        enabled_ = whole(*stack, "/tracks");
        read_tracks(*stack);
    }

  private:
    void read_counting() {
        if (!has_timecode(list_.rate))
            values_.breach("", fmt::format("there is no timecode at the rate {}", to_string(list_.rate)), 18);
        const Json* drop = OtioValues::own(root_, "drop_frame");
        if (!drop) return;
        const bool wanted = drop->is_bool() && drop->boolean();
        if (!drop->is_bool() || (wanted && !has_drop_frame(list_.rate)))
            values_.breach(
                "/metadata/downball/drop_frame",
                fmt::format("found {}, expected true at 30000/1001 and 60000/1001 only, else false",
                            spelled(drop)),
                24);
        else if (wanted)
            list_.counting = Counting::drop;
    }

    void read_start() {
        const Json* told = root_.find("global_start_time");
        if (!told || told->is_null()) {
            values_.breach(told ? "/global_start_time" : "", "no global_start_time, so labels begin at 0",
                           21);
            return;
        }
        const auto start = values_.time(root_, "", "global_start_time", 19);
        if (!start) return;
        if (start->rate != list_.rate)
            values_.breach("/global_start_time/rate",
                           "found a rate that no list runs at, expected the items'", 18);
        list_.start = values_.in_list(start->value, start->rate);
        if (list_.start.n >= 0 && list_.start < day_length(list_.rate, list_.counting)) return;
        values_.breach("/global_start_time",
                       fmt::format("the first label is frame {}, which no timecode names", list_.start.n),
                       21);
        list_.start.n = std::max<std::int64_t>(list_.start.n, 0);
    }

    bool holds(const Json& object, const std::string& place, std::string_view member) {
        const auto* found = values_.array(object, place, member);
        return found && !found->empty();
    }

    // Whether a stack or track is shown at all; trims and effects of the whole are not followed.
    bool whole(const Json& object, const std::string& place) {
        if (holds_something(object.find("source_range"))) {
            values_.breach(place + "/source_range", "the whole is trimmed, which is not followed", 19);
            values_.pass_over(place + "/source_range", "a trim of the whole");
        }
        if (holds(object, place, "effects")) {
            values_.breach(place + "/effects", "an effect on the whole, expected it on clips alone", 20);
            values_.pass_over(place + "/effects", "an effect on the whole");
        }
        if (holds(object, place, "markers")) values_.pass_over(place + "/markers", "markers of the whole");
        const bool shown = values_.enabled(object, place);
        if (!shown) values_.pass_over(place, "not enabled");
        return shown;
    }

    void read_tracks(const Json& stack) {
        struct End {
            std::string place;
            Frame at;
        };
        std::vector<End> ends;
        const auto* tracks = values_.array(stack, "/tracks", "children");
        for (std::size_t i = 0; tracks && i < tracks->size(); ++i) {
            const std::string place = fmt::format("/tracks/children/{}", i);
            if (const auto end = read_track((*tracks)[i], place)) ends.push_back({place, *end});
        }
        if (ends.empty()) {
            values_.breach("/tracks", "there is no track", 16);
            return;
        }
        const Frame last = std::ranges::max(ends, {}, &End::at).at;
        for (const End& end : ends)
            if (end.at != last)
                values_.breach(end.place,
                               fmt::format("the track ends after {} frames, the longest after {}",
                                           (end.at - list_.start).n, (last - list_.start).n),
                               21);
    }

    // The record label where the track ends; nothing if it is none.
    std::optional<Frame> read_track(const Json& track, const std::string& place) {
        if (!values_.is(track, place, "Track")) {
            values_.pass_over(place, spelled(&track));
            return std::nullopt;
        }
        const Json* told = track.find("kind");
        const std::string kind = text_of(track, "kind");
        if (kind != "Video" && kind != "Audio")
            values_.breach(
                told ? place + "/kind" : place,
                fmt::format("found {} for the kind, expected \"Video\" or \"Audio\"", spelled(told)), 16);
        const bool picture = !told || lower(kind) == "video"; // the library's own, where none is told
        if (!picture && lower(kind) != "audio") {
            values_.pass_over(place, fmt::format("a track of the kind {}", spelled(told)));
            return std::nullopt;
        }
        values_.look_over(track, place,
                          {"kind", "children", "source_range", "effects", "markers", "enabled"});
        track_enabled_ = whole(track, place) && enabled_;
        list_.tracks.push_back({text_of(track, "name"), picture});
        at_ = list_.start;
        const auto* children = values_.array(track, place, "children");
        if (!children && !track.find("children")) values_.breach(place, "the track has no children", 16);
        for (std::size_t i = 0; children && i < children->size(); ++i)
            read_child((*children)[i], fmt::format("{}/children/{}", place, i));
        return at_;
    }

    void read_child(const Json& child, const std::string& place) {
        const auto kind = otio_schema(child).name;
        if (kind == "Clip")
            read_clip(child, place);
        else if (kind == "Gap")
            read_gap(child, place);
        else
            read_other(child, place);
    }

    // Moves on by the length; an item beyond what can be is left out.
    bool fits(Frame length, const std::string& place) {
        if (length.n <= 0) {
            values_.breach(place, "the item is shorter than half a frame of the timeline", 26);
            return false;
        }
        if (at_ + length > list_.start + values_.longest()) {
            values_.breach(place, "the track runs on for more than 30 days", 26);
            return false;
        }
        at_ += length;
        return true;
    }

    void add(ListedEvent event) {
        event.track = list_.tracks.size() - 1;
        list_.events.push_back(std::move(event));
    }

    void add_black(ListedEvent from) {
        if (!list_.tracks.back().picture) return;
        ListedEvent black;
        black.place = std::move(from.place);
        black.black = true;
        black.record = from.record;
        black.source = {Frame{0}, from.record.length()};
        black.marks = std::move(from.marks);
        add(std::move(black));
    }

    void read_clip(const Json& clip, const std::string& place) {
        values_.is(clip, place, "Clip");
        auto event = clips_.clip(clip, place, at_);
        const bool shown = values_.enabled(clip, place);
        if (!event || !fits(event->record.length(), place)) return;
        if (!shown) values_.pass_over(place, "a clip that is not enabled");
        if (shown && track_enabled_) {
            add(std::move(*event));
        } else {
            event->marks.clear();
            add_black(std::move(*event));
        }
    }

    std::optional<ListedEvent> empty_item(const Json& item, const std::string& place) {
        const auto range = values_.range(item, place, "source_range", {});
        if (!range) return std::nullopt;
        values_.expect_list_rate(*range, place + "/source_range", 19);
        ListedEvent event;
        event.place = place;
        event.source = values_.in_list(*range);
        event.record = {at_, at_ + event.source.length()};
        if (!fits(event.record.length(), place)) return std::nullopt;
        return event;
    }

    void read_gap(const Json& gap, const std::string& place) {
        values_.is(gap, place, "Gap");
        values_.look_over(gap, place, {"source_range", "effects", "markers", "enabled"});
        if (holds(gap, place, "effects")) values_.pass_over(place + "/effects", "effects on a gap");
        auto event = empty_item(gap, place);
        if (!event) return;
        clips_.read_marks(gap, *event);
        if (!list_.tracks.back().picture && !event->marks.empty())
            values_.pass_over(place + "/markers", "markers on a gap between sounds");
        add_black(std::move(*event));
    }

    // Takes up its place, if it says how long.
    void read_other(const Json& child, const std::string& place) {
        values_.breach(place, fmt::format("found {} on a track, expected Clip.2 or Gap.1", spelled(&child)),
                       16);
        values_.pass_over(place, spelled(&child));
        const auto kind = otio_schema(child).name;
        if (kind == "Stack" || kind == "Track" || holds_something(child.find("source_range")))
            empty_item(child, place);
    }

    const Json& root_;
    CutList& list_;
    OtioValues values_;
    OtioClips clips_;
    bool enabled_ = true, track_enabled_ = true;
    Frame at_; // record label of the next item
};

// That of the start label, else of the first item that tells one.
std::optional<Rate> list_rate(const Json& root) {
    if (const auto rate = usable_rate(root.find("global_start_time"))) return rate;
    const auto children = [](const Json* parent) -> std::span<const Json> {
        const Json* found = parent ? parent->find("children") : nullptr;
        if (!found || !found->is_array()) return {};
        return found->array();
    };
    for (const Json& track : children(root.find("tracks")))
        for (const Json& child : children(&track))
            if (const Json* range = child.find("source_range"))
                for (const char* member : {"duration", "start_time"})
                    if (const auto rate = usable_rate(range->find(member))) return rate;
    return std::nullopt;
}

} // namespace

Result<CutList> otio(std::string_view text, const std::string& name) {
    const auto root = text::parse_json(text, name);
    if (!root) return root.error();
    if (otio_schema(*root).name != "Timeline")
        return Error{
            Fault::bad_input,
            fmt::format("found {}, expected an OpenTimelineIO timeline (an object whose OTIO_SCHEMA is "
                        "Timeline.1)",
                        spelled(&*root)),
            name};
    const auto rate = list_rate(*root);
    if (!rate)
        return Error{
            Fault::bad_input,
            "neither global_start_time nor any source_range tells a rate; expected one from 0.001 to 1000",
            name + (root->find("global_start_time") ? " /global_start_time" : "")};
    CutList list;
    list.rate = *rate;
    OtioTimeline(*root, list).read();
    return list;
}

} // namespace downball::read
