// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "read/rules.h"

#include "read/tracks.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <map>

namespace downball::read {
namespace {

constexpr std::size_t most_events = 999; // three digits

class EdlRules {
  public:
    explicit EdlRules(CutList& list) : list_(list), day_(day_length(list.rate, list.counting)) {}

    void numbers(const std::vector<EventNumber>& numbers) {
        for (std::size_t n = 0; n < numbers.size(); ++n) {
            const int expected = static_cast<int>(n) + 1;
            if (numbers[n].number >= 0 && numbers[n].number != expected) {
                list_.breaches.push_back(
                    {fmt::format("line {}", numbers[n].line),
                     fmt::format("event {:03}, expected {:03}", numbers[n].number, expected), 4});
                break; // the rest is off by as much
            }
        }
        if (numbers.size() > most_events)
            list_.breaches.push_back({fmt::format("line {}", numbers[most_events].line),
                                      fmt::format("{} events, a list holds 999", numbers.size()), 4});
    }

    void lengths(const ListedEvent& event) {
        const auto record = event.record.length().n;
        if (record <= 0) return breach(event, "record out is not after record in", 8);
        auto source = event.source.length().n;
        if (source < 0) source += day_.n;
        if (!event.retimed) {
            if (source != record)
                breach(event,
                       fmt::format("source has {} frames, record {}, and no M2 line follows", source, record),
                       9);
            return;
        }
        const double used = static_cast<double>(record) * std::abs(event.speed);
        if (std::abs(static_cast<double>(source) - used) > 1)
            breach(event,
                   fmt::format("source has {} frames, {} record frames at {:.4f} use {:.2f}", source, record,
                               event.speed, used),
                   10);
    }

    void names(const ListedEvent& event) {
        if (event.black) return;
        if (event.file.empty()) return breach(event, "no FROM CLIP NAME tells the file", 11);
        const auto [at, added] = file_of_.try_emplace(event.reel, event.file);
        if (!added && at->second != event.file)
            breach(event, fmt::format("reel {} is both {} and {}", event.reel, at->second, event.file), 5);
    }

    void tracks() {
        if (list_.events.empty()) return;
        const auto tracks = by_track(list_);
        const ListedEvent *first = nullptr, *last = nullptr;
        for (std::size_t t = 0; t < tracks.size(); ++t) {
            const TrackEvents& events = tracks[t];
            for (std::size_t n = 1; n < events.size(); ++n)
                neighbours(*events[n - 1], *events[n], list_.tracks[t]);
            if (!list_.tracks[t].picture || events.empty()) continue;
            if (!first || events.front()->record.in < first->record.in) first = events.front();
            if (!last || events.back()->record.out > last->record.out) last = events.back();
        }
        if (!first) {
            list_.breaches.push_back({"line 3", "no event on V", 8});
            list_.start = list_.events.front().record.in;
            return;
        }
        list_.start = first->record.in;
        for (const ListedEvent& event : list_.events)
            if (event.record.in < first->record.in || event.record.out > last->record.out)
                breach(event, "lies outside the picture's first and last frame", 8);
    }

  private:
    void breach(const ListedEvent& event, std::string what, int rule) {
        list_.breaches.push_back({event.place, std::move(what), rule});
    }

    void neighbours(const ListedEvent& before, const ListedEvent& after, const ListedTrack& track) {
        if (after.record.in < before.record.out)
            breach(after, fmt::format("overlaps the event of {} on {}", before.place, track.name), 8);
        else if (track.picture && after.record.in > before.record.out)
            breach(after,
                   fmt::format("a gap of {} frames on {}: black is an event of reel BL",
                               (after.record.in - before.record.out).n, track.name),
                   8);
    }

    CutList& list_;
    Frame day_;
    std::map<std::string, std::string> file_of_; // by reel
};

} // namespace

bool good_reel(std::string_view reel) {
    return !reel.empty() && reel.size() <= 8 &&
           std::ranges::all_of(reel, [](char c) { return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9'); });
}

void check_whole(CutList& list, const std::vector<EventNumber>& numbers) {
    EdlRules rules(list);
    rules.numbers(numbers);
    for (const ListedEvent& event : list.events) {
        rules.lengths(event);
        rules.names(event);
    }
    rules.tracks();
}

} // namespace downball::read
