// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/write/sync.h"

#include "downball/model/m2.h"

#include <cmath>

namespace downball::write {
namespace {

constexpr double half_frame = 0.5 + 1e-6;

} // namespace

double song_offset_s(const Timeline& timeline) {
    if (timeline.song.empty()) return 0;
    const AudioEvent& song = timeline.song.front();
    return timeline.media[song.media].media_s(song.source.in - song.record.in, timeline.rate);
}

DeliveredAnchor delivered(const Timeline& timeline, const VideoEvent& event, const Impact& impact,
                          const Beat& beat) {
    const Rate rate = timeline.rate;
    static const TimelineMedia black;
    const TimelineMedia& file = event.media ? timeline.media[*event.media] : black;
    DeliveredAnchor anchor;
    anchor.beat_record_s = beat.seconds - song_offset_s(timeline);
    anchor.shown_record_s = shown_at_s(event, file, impact.picture_s, event.speed, rate);
    anchor.error_s = anchor.shown_record_s - anchor.beat_record_s;
    anchor.error_frames = anchor.error_s * rate.per_second();
    const double m2_s = shown_at_s(event, file, impact.picture_s, m2_speed(event.speed, rate), rate);
    anchor.m2_error_frames = (m2_s - anchor.beat_record_s) * rate.per_second();
    anchor.holds = std::abs(anchor.error_frames) <= half_frame;
    anchor.holds_with_m2 = std::abs(anchor.m2_error_frames) <= half_frame;
    return anchor;
}

DeliveredAnchor delivered(const Timeline& timeline, const std::vector<VideoEvent>& parts,
                          const Impact& impact, const Beat& beat) {
    const auto media = parts.front().media;
    if (!media) return delivered(timeline, parts.front(), impact, beat);
    return delivered(timeline, showing(parts, timeline.media[*media], impact.picture_s, timeline.rate),
                     impact, beat);
}

} // namespace downball::write
