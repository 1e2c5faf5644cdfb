// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "read/tracks.h"

#include <algorithm>

namespace downball::read {

std::vector<TrackEvents> by_track(const CutList& list) {
    std::vector<TrackEvents> tracks(list.tracks.size());
    for (const ListedEvent& event : list.events)
        tracks[event.track].push_back(&event);
    for (TrackEvents& events : tracks)
        std::ranges::stable_sort(events, {}, [](const ListedEvent* event) { return event->record.in; });
    return tracks;
}

} // namespace downball::read
