// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/timeline/build.h"

#include "timeline/list_media.h"
#include "timeline/losses.h"
#include "timeline/sound.h"
#include "timeline/video.h"

#include "downball/base/text.h"
#include "downball/timeline/reels.h"

#include <algorithm>
#include <fmt/format.h>

namespace downball::timeline {
namespace {

Result<void> check_clock(const Sources& sources) {
    const Delivery& delivery = sources.limits.delivery;
    if (!has_timecode(delivery.rate) ||
        (delivery.counting == Counting::drop && !has_drop_frame(delivery.rate)))
        return Error{Fault::bad_input,
                     fmt::format("no {}timecode exists at {} frames a second",
                                 delivery.counting == Counting::drop ? "drop-frame " : "",
                                 to_string(delivery.rate)),
                     "delivery"};
    const Frame day = day_length(delivery.rate, delivery.counting);
    if (delivery.start < Frame{0} || delivery.start + sources.plan.length >= day)
        return Error{
            Fault::bad_input,
            fmt::format("record timecode starts at frame {} and the cut has {}, which goes past 24 hours "
                        "({} frames); choose an earlier start timecode",
                        delivery.start.n, sources.plan.length.n, day.n),
            "delivery"};
    return {};
}

std::vector<Marker> section_markers(const Sources& sources) {
    std::vector<Marker> markers;
    int number = 0;
    for (const Section& section : sources.beats.sections) {
        ++number;
        if (section.first >= sources.beats.beats.size()) continue;
        const double at_s = sources.beats.beats[section.first].seconds - sources.plan.song_start_s;
        const Frame at = nearest_frame(at_s, sources.limits.delivery.rate);
        if (at >= Frame{0} && at < sources.plan.length)
            markers.push_back({at, fmt::format("section {}", number)});
    }
    return markers;
}

void count_from_label(AudioEvent& event, const std::vector<TimelineMedia>& media) {
    const Frame first = media[event.media].first;
    event.source = {event.source.in + first, event.source.out + first};
}

} // namespace

std::vector<std::string> reels_of(const ShotLog& log, const MediaInfo& song, bool from_card) {
    std::vector<ReelWish> wishes;
    for (const MediaInfo& media : log.media)
        wishes.push_back({media.path, media.name, media.id, "", "", ""});
    for (const Take& take : log.takes) {
        ReelWish& wish = wishes[take.media];
        if (wish.logged.empty()) wish.logged = take.reel;
        if (wish.take.empty() || earlier_id(take.id, wish.take)) wish.take = take.id;
    }
    wishes.push_back({song.path, song.name, song.id, "", "", ""});
    if (!from_card) return make_reels(wishes);
    // `log` fills in reels from file names: where the card has another, that is nobody's wish.
    std::vector<ReelWish> unsaid = wishes;
    for (ReelWish& wish : unsaid)
        wish.logged.clear();
    const auto by_name = make_reels(unsaid);
    for (std::size_t m = 0; m < log.media.size(); ++m) {
        wishes[m].card = log.media[m].card_reel;
        if (!wishes[m].card.empty() && wishes[m].logged == by_name[m]) wishes[m].logged.clear();
    }
    return make_reels(wishes);
}

Result<Timeline> build(const Sources& sources, const BuildOptions& options) {
    if (const auto clock = check_clock(sources); !clock) return clock.error();
    const Delivery& delivery = sources.limits.delivery;
    Timeline timeline;
    timeline.name = options.name;
    timeline.rate = delivery.rate;
    timeline.counting = delivery.counting;
    timeline.start = delivery.start;
    timeline.length = sources.plan.length;

    const auto reels = reels_of(sources.log, sources.song, options.reels_from_card);
    MediaTable table(delivery.rate, delivery.counting, options.folder);
    constexpr auto unused = static_cast<std::size_t>(-1);
    std::vector<std::size_t> entry_of(sources.log.media.size(), unused);
    std::vector<std::string> renamed;
    for (const PlannedShot& shot : sources.plan.shots) {
        const Take& take = sources.log.takes[shot.take];
        if (entry_of[take.media] != unused) continue;
        entry_of[take.media] = table.add(sources.log.media[take.media], reels[take.media]);
        if (!take.reel.empty() && take.reel != reels[take.media])
            renamed.push_back(fmt::format("{} {}", sources.log.media[take.media].name, reels[take.media]));
    }
    MediaInfo song = sources.song;
    song.has_video = false; // a cover picture is no picture track
    const std::size_t song_entry = table.add(song, reels.back());
    timeline.media = table.entries;
    timeline.notes = table.notes();
    if (!renamed.empty())
        timeline.notes.push_back(
            "the log gives one reel to several files or several to one, while lists need one "
            "for each file; called otherwise than in the log: " +
            join(renamed, ", "));

    auto video = video_events(sources, timeline.media, entry_of, timeline.notes);
    if (!video) return video.error();
    timeline.video = std::move(*video);
    auto laid = song_events(sources, song_entry, timeline.media[song_entry], timeline.notes);
    if (!laid) return laid.error();
    timeline.song = std::move(*laid);
    if (options.natural_sound) timeline.natural = natural_events(sources, entry_of, options, timeline.notes);
    for (auto& event : timeline.song)
        count_from_label(event, timeline.media);
    for (auto& event : timeline.natural)
        count_from_label(event, timeline.media);
    timeline.sections = section_markers(sources);
    const auto lost = losses(timeline);
    timeline.notes.insert(timeline.notes.end(), lost.begin(), lost.end());
    return timeline;
}

} // namespace downball::timeline
