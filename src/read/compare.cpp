// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/read/compare.h"

#include "read/labels.h"
#include "read/tracks.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <map>
#include <set>

namespace downball::read {
namespace {

// Without those that last no frame.
std::vector<TrackEvents> lasting_by_track(const CutList& list) {
    std::vector<TrackEvents> tracks = by_track(list);
    for (TrackEvents& events : tracks)
        std::erase_if(events, [](const ListedEvent* event) { return event->record.empty(); });
    return tracks;
}

// Names that stand for files of different reels.
std::set<std::string> shared_names(const CutList& list) {
    std::map<std::string, std::string> reel_of;
    std::set<std::string> shared;
    for (const ListedEvent& event : list.events)
        if (const auto [at, added] = reel_of.try_emplace(event.file, event.reel);
            !added && at->second != event.reel)
            shared.insert(event.file);
    return shared;
}

// An EDL spells other names as well as it can, an OTIO as they are.
bool ascii(const std::string& name) {
    return std::ranges::all_of(name, [](char c) { return c >= ' ' && c <= '~'; });
}

// Walks along one track of each list at once.
class Sweep {
  public:
    Sweep(const CutList& first, const CutList& second, const std::set<std::string>& shared,
          std::vector<Difference>& found)
        : first_(first), second_(second), shared_(shared), found_(found) {}

    void run(const std::string& track, const TrackEvents& one, const TrackEvents& other) {
        track_ = track;
        std::set<Frame> borders;
        for (const TrackEvents* events : {&one, &other})
            for (const ListedEvent* event : *events) {
                borders.insert(event->record.in);
                borders.insert(event->record.out);
            }
        std::size_t a = 0, b = 0;
        for (auto at = borders.begin(); at != borders.end() && std::next(at) != borders.end(); ++at)
            stretch({*at, *std::next(at)}, here(one, a, *at), here(other, b, *at));
        open_ = false;
    }

  private:
    // The event that runs at this frame; of two that overlap, the later.
    static const ListedEvent* here(const TrackEvents& events, std::size_t& next, Frame at) {
        while (next < events.size() && events[next]->record.in <= at)
            ++next;
        const bool runs = next > 0 && events[next - 1]->record.contains(at);
        return runs ? events[next - 1] : nullptr;
    }

    bool same_file(const ListedEvent& a, const ListedEvent& b) const {
        const bool spelled_alike =
            a.file == b.file || a.file.empty() || b.file.empty() || !ascii(a.file) || !ascii(b.file);
        if (!a.reel.empty() && a.reel == b.reel) return spelled_alike;
        return !a.file.empty() && a.file == b.file && !shared_.contains(a.file);
    }

    bool same_black(const ListedEvent* a, const ListedEvent* b) const {
        return a && b ? a->black && b->black : a == b;
    }

    bool same_frame(const ListedEvent& a, const ListedEvent& b, Frame at) const {
        const auto apart = std::abs((in_day(shown(a, at), first_) - in_day(shown(b, at), second_)).n);
        // Told to a tenth of a frame a second, both may mean one speed.
        const bool one_speed = std::abs(a.speed - b.speed) <= a.speed_slack + b.speed_slack;
        return apart == 0 || (apart == 1 && one_speed && a.retimed && b.retimed);
    }

    void stretch(FrameRange range, const ListedEvent* a, const ListedEvent* b) {
        if (!a || !b || a->black || b->black) return note(range, same_black(a, b), a, b);
        if (!same_file(*a, *b)) return note(range, false, a, b);
        if (!a->retimed && !b->retimed)
            return note(range, same_frame(*a, *b, range.in), a, b); // one tells all
        for (Frame at = range.in; at < range.out; at += Frame{1})
            note({at, at + Frame{1}}, same_frame(*a, *b, at), a, b);
    }

    void note(FrameRange range, bool same, const ListedEvent* a, const ListedEvent* b) {
        if (same) {
            open_ = false;
            return;
        }
        if (open_ && a == a_ && b == b_)
            found_.back().record.out = range.out;
        else
            found_.push_back({track_, range, told(first_, a, range.in), told(second_, b, range.in)});
        open_ = true;
        a_ = a;
        b_ = b;
    }

    static std::string told(const CutList& list, const ListedEvent* event, Frame at) {
        if (!event) return "nothing";
        if (event->black) return "black";
        return fmt::format("{} {}", event->file.empty() ? event->reel : event->file,
                           label_text(shown(*event, at), list));
    }

    const CutList& first_;
    const CutList& second_;
    const std::set<std::string>& shared_;
    std::vector<Difference>& found_;
    std::string track_;
    bool open_ = false; // does the last difference end where the next stretch begins?
    const ListedEvent *a_ = nullptr, *b_ = nullptr;
};

std::vector<std::size_t> tracks_of(const CutList& list, bool picture) {
    std::vector<std::size_t> tracks;
    for (std::size_t n = 0; n < list.tracks.size(); ++n)
        if (list.tracks[n].picture == picture) tracks.push_back(n);
    return tracks;
}

} // namespace

Frame shown(const ListedEvent& event, Frame record) {
    const double into = (static_cast<double>((record - event.record.in).n) + 0.5) * event.speed;
    // Backwards what is used is played from its end.
    const double used = std::round(static_cast<double>(event.record.length().n) * -event.speed);
    const double at = event.speed < 0 ? used - 1 + std::ceil(into) : std::floor(into);
    return event.source.in + Frame{static_cast<std::int64_t>(at)};
}

Result<std::vector<Difference>> compare(const CutList& first, const CutList& second) {
    if (!same_clock(first.rate, second.rate))
        return Error{
            Fault::bad_input,
            fmt::format("{} runs at {}, {} at {}: only lists of one rate can be compared; an EDL is read at "
                        "the rate that --rate gives",
                        first.name, to_string(first.rate), second.name, to_string(second.rate)),
            {}};
    std::set<std::string> shared = shared_names(first);
    shared.merge(shared_names(second));
    const auto one = lasting_by_track(first), other = lasting_by_track(second);
    const TrackEvents none;
    std::vector<Difference> found;
    Sweep sweep(first, second, shared, found);
    for (const bool picture : {true, false}) {
        const auto a = tracks_of(first, picture), b = tracks_of(second, picture);
        for (std::size_t n = 0; n < std::max(a.size(), b.size()); ++n)
            sweep.run(n < a.size() ? first.tracks[a[n]].name : second.tracks[b[n]].name,
                      n < a.size() ? one[a[n]] : none, n < b.size() ? other[b[n]] : none);
    }
    return found;
}

} // namespace downball::read
