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

    Result<VideoEvent> event(const PlannedShot& shot, std::size_t entry) {
        const Take& take = sources_.log.takes[shot.take];
        const TimelineMedia& file = media_[entry];
        VideoEvent event;
        event.shot = shot.id;
        event.take = take.id;
        event.media = entry;
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
            event.contacts.push_back(marker(event, file, take, anchor));
        return event;
    }

  private:
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
        notes_.push_back(fmt::format("shot {}: the EDL can only say {:.1f} frames a second for the speed "
                                     "{}/{}; from record frame {} of the "
                                     "shot on it may show the picture beside the OTIO's",
                                     shot.id, static_cast<double>(m2_tenths(shot.speed, rate_)) / 10,
                                     shot.speed.num(), shot.speed.den(), differs->n));
        return shot.speed;
    }

    Marker marker(const VideoEvent& event, const TimelineMedia& file, const Take& take,
                  const Anchor& anchor) const {
        const Impact& impact = take.impacts[anchor.impact];
        const double at_s = shown_at_s(event, file, impact.picture_s, event.speed, rate_);
        const Frame at = std::clamp(nearest_frame(at_s, rate_), event.record.in, event.record.out - Frame{1});
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
        auto event = track.event(shot, entry_of[sources.log.takes[shot.take].media]);
        if (!event) return event.error();
        events.push_back(std::move(*event));
    }
    if (next != sources.plan.length)
        return Error{
            Fault::internal,
            fmt::format("the shots end at record frame {}, the cut at {}", next.n, sources.plan.length.n),
            "cut"};
    return events;
}

} // namespace downball::timeline
