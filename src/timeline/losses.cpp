// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "timeline/losses.h"

#include <cmath>
#include <fmt/format.h>

namespace downball::timeline {
namespace {

// Where the contact goes when the shot runs at real speed: it moves towards or away from the shot's start.
std::string without_warp(const VideoEvent& event, const TimelineMedia& file) {
    std::string text =
        fmt::format("shot {}: an editor that ignores speed changes plays it at real speed", event.shot);
    if (!event.contacts.empty()) {
        const Marker& contact = event.contacts.front();
        const Fraction held_for(contact.at.n - event.record.in.n);
        const double moved = (held_for * event.speed - held_for).to_double();
        if (std::abs(moved) >= 0.05)
            text += fmt::format(", its contact then comes {:.1f} frames {}", std::abs(moved),
                                moved < 0 ? "early" : "late");
    }
    if (event.source.in + event.record.length() > file.first + file.length)
        text += ", and runs past the end of the file";
    return text;
}

} // namespace

std::vector<std::string> losses(const Timeline& timeline) {
    std::vector<std::string> notes;
    for (std::size_t n = 0; n < timeline.video.size(); ++n) {
        const VideoEvent& event = timeline.video[n];
        const bool goes_on = n + 1 < timeline.video.size() && timeline.video[n + 1].part > 0;
        // Each part begins where it should, so that contacts stay.
        if (event.part == 0 && goes_on)
            notes.push_back(
                fmt::format("shot {}: an editor that ignores speed changes jumps between its parts, "
                            "its contacts stay on their beats",
                            event.shot));
        if (event.speed == Fraction(1) || !event.media || event.part > 0 || goes_on) continue;
        notes.push_back(without_warp(event, timeline.media[*event.media]));
        if (event.source.length() == event.record.length())
            notes.push_back(
                fmt::format("shot {}: source and record are equally long, so editors that go by the "
                            "durations drop the speed change",
                            event.shot));
    }
    return notes;
}

} // namespace downball::timeline
