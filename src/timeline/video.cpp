// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "timeline/video.h"

#include "timeline/pictures.h"

#include "downball/model/m2.h"
#include "downball/model/source_count.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace downball::timeline {
namespace {

class VideoTrack {
  public:
    VideoTrack(const Sources& sources, const std::vector<TimelineMedia>& media,
               std::vector<std::string>& notes)
        : sources_(sources), media_(media), rate_(sources.limits.delivery.rate), notes_(notes) {}

    // A rally on the beat has an event for each of its stretches, any other shot has one.
    Result<std::vector<VideoEvent>> events(const PlannedShot& shot, std::size_t entry) {
        std::vector<VideoEvent> all;
        if (shot.stretches.empty()) {
            auto whole = event(shot, entry);
            if (!whole) return whole.error();
            all.push_back(std::move(*whole));
            return all;
        }
        for (const Stretch& stretch : shot.stretches) {
            auto its = part(shot, stretch, entry);
            if (!its) return its.error();
            its->part = static_cast<int>(all.size());
            all.push_back(std::move(*its));
        }
        const Take& take = sources_.log.takes[shot.take];
        for (const Anchor& anchor : shot.anchors) {
            const double shown_s = take.impacts[anchor.impact].picture_s;
            const VideoEvent& shows = showing(all, media_[entry], shown_s, rate_);
            const Marker mark = marker(shows, shot.record, media_[entry], take, anchor);
            const auto at =
                std::ranges::find_if(all, [&](const VideoEvent& e) { return e.record.contains(mark.at); });
            at->contacts.push_back(mark);
        }
        return all;
    }

  private:
    Result<VideoEvent> event(const PlannedShot& shot, std::size_t entry) {
        const Take& take = sources_.log.takes[shot.take];
        const TimelineMedia& file = media_[entry];
        VideoEvent event;
        event.shot = shot.id;
        event.take = take.id;
        event.media = entry;
        event.crop_centre = take.crop_centre;
        event.record = shot.record;
        event.speed = delivered_speed(shot, take, file);
        const auto length = source_length(shot, event.speed, file);
        if (!length)
            return Error{Fault::internal,
                         fmt::format("shot {} asks for list frames {} to {} of a file that has {}", shot.id,
                                     shot.source_in.n,
                                     (Fraction(shot.source_in.n) + played(shot, event.speed)).to_double(),
                                     file.length.n),
                         file.name};
        event.source = {shot.source_in + file.first, shot.source_in + file.first + *length};
        for (const Anchor& anchor : shot.anchors)
            event.contacts.push_back(marker(event, event.record, file, take, anchor));
        return event;
    }

    // Its source frames are whole and stay; the speed may be the rounded one if these frames agree with it.
    Result<VideoEvent> part(const PlannedShot& shot, const Stretch& stretch, std::size_t entry) {
        const TimelineMedia& file = media_[entry];
        const Take& take = sources_.log.takes[shot.take];
        if (Fraction(stretch.source.in.n) < file.phase || stretch.source.out > file.length)
            return Error{Fault::internal,
                         fmt::format("shot {} asks for list frames {} to {} of a file that has {}", shot.id,
                                     stretch.source.in.n, stretch.source.out.n, file.length.n),
                         file.name};
        VideoEvent event;
        event.shot = shot.id;
        event.take = take.id;
        event.media = entry;
        event.crop_centre = take.crop_centre;
        event.record = stretch.record;
        event.source = {stretch.source.in + file.first, stretch.source.out + file.first};
        const Fraction frames(stretch.record.length().n);
        event.speed = Fraction(stretch.source.length().n) / frames;
        const Fraction field = m2_speed(event.speed, rate_);
        const FrameTable& pictures = sources_.log.media[take.media].frames;
        const Showing showing{Fraction(stretch.source.in.n) - file.phase, stretch.record.length(), rate_};
        const auto differs = first_difference(showing, pictures, event.speed, field);
        if (differs && Frame{round_half_down(frames * field)} == stretch.source.length())
            event.speed = field;
        else if (differs)
            note_difference(shot.id, event.speed, *differs);
        return event;
    }

    static Fraction played(const PlannedShot& shot, Fraction speed) {
        return Fraction(shot.record.length().n) * speed;
    }

    // round(record length x speed), less by the part of a frame that the end of the file cuts off.
    std::optional<Frame> source_length(const PlannedShot& shot, Fraction speed,
                                       const TimelineMedia& file) const {
        const Fraction exact = played(shot, speed);
        const double last = (Fraction(shot.source_in.n) + exact).to_double();
        if (Fraction(shot.source_in.n) < file.phase ||
            last > file.duration_s * rate_.per_second() + file.phase.to_double() + 1e-6)
            return {};
        const Frame rounded{std::max<std::int64_t>(1, round_half_down(exact))};
        const Frame length = std::min(rounded, file.length - shot.source_in);
        return length > Frame{0} ? std::optional(length) : std::nullopt;
    }

    double error_frames(const PlannedShot& shot, const Take& take, const Anchor& anchor,
                        Fraction speed) const {
        const SourceCount count = count_source(sources_.log.media[take.media], rate_);
        const double into_source_s =
            take.impacts[anchor.impact].picture_s - count.media_s(static_cast<double>(shot.source_in.n));
        const double shown_s = to_seconds(shot.record.in, rate_) + into_source_s / speed.to_double();
        const double beat_s = sources_.beats.beats[anchor.beat].seconds - sources_.plan.song_start_s;
        return (shown_s - beat_s) * rate_.per_second();
    }

    Fraction delivered_speed(const PlannedShot& shot, const Take& take, const TimelineMedia& file) {
        const Fraction field = m2_speed(shot.speed, rate_);
        const FrameTable& frames = sources_.log.media[take.media].frames;
        const Showing showing{Fraction(shot.source_in.n) - file.phase, shot.record.length(), rate_};
        const auto differs = first_difference(showing, frames, shot.speed, field);
        if (!differs) return shot.speed;
        const bool holds = std::ranges::all_of(shot.anchors, [&](const Anchor& anchor) {
            const double planned = std::abs(error_frames(shot, take, anchor, shot.speed));
            return std::abs(error_frames(shot, take, anchor, field)) <= std::max(0.5, planned) + 1e-6;
        });
        if (holds && field > Fraction(0) && source_length(shot, field, file)) return field;
        note_difference(shot.id, shot.speed, *differs);
        return shot.speed;
    }

    void note_difference(const std::string& id, Fraction speed, Frame from) {
        notes_.push_back(fmt::format("shot {}: the EDL can only say {:.1f} frames a second for the speed "
                                     "{}/{}; from record frame {} of the "
                                     "shot on it may show the picture beside the OTIO's",
                                     id, static_cast<double>(m2_tenths(speed, rate_)) / 10, speed.num(),
                                     speed.den(), from.n));
    }

    Marker marker(const VideoEvent& event, FrameRange in_shot, const TimelineMedia& file, const Take& take,
                  const Anchor& anchor) const {
        const Impact& impact = take.impacts[anchor.impact];
        const double at_s = shown_at_s(event, file, impact.picture_s, event.speed, rate_);
        const Frame at = std::clamp(nearest_frame(at_s, rate_), in_shot.in, in_shot.out - Frame{1});
        std::string name(impact.skill ? to_string(*impact.skill) : "contact");
        if (impact.skill && !impact.skill_sure) name += '?';
        return {at, name + " " + impact.id};
    }

    const Sources& sources_;
    const std::vector<TimelineMedia>& media_;
    Rate rate_;
    std::vector<std::string>& notes_;
};

} // namespace

Result<std::vector<VideoEvent>> video_events(const Sources& sources, const std::vector<TimelineMedia>& media,
                                             const std::vector<std::size_t>& entry_of,
                                             std::vector<std::string>& notes) {
    VideoTrack track(sources, media, notes);
    std::vector<VideoEvent> events;
    Frame next{0};
    for (const PlannedShot& shot : sources.plan.shots) {
        if (shot.record.in != next || shot.record.empty())
            return Error{Fault::internal,
                         fmt::format("shot {} stands at record frames {} to {}, expected to begin at {}",
                                     shot.id, shot.record.in.n, shot.record.out.n, next.n),
                         "cut"};
        next = shot.record.out;
        auto its = track.events(shot, entry_of[sources.log.takes[shot.take].media]);
        if (!its) return its.error();
        events.insert(events.end(), its->begin(), its->end());
    }
    if (next != sources.plan.length)
        return Error{
            Fault::internal,
            fmt::format("the shots end at record frame {}, the cut at {}", next.n, sources.plan.length.n),
            "cut"};
    return events;
}

} // namespace downball::timeline
