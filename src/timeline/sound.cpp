// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "timeline/sound.h"

#include "downball/model/source_count.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace downball::timeline {
namespace {

// How much of a hit a retimed shot lends: the attack needs little room before it, the ring some after it.
constexpr double hit_before_s = 0.1;
constexpr double hit_after_s = 0.4;
// The next contact's sound begins here before its instant, and must not be heard.
constexpr double next_hit_margin_s = 0.04;

// Played slower than it was shot, so that its sound is stretched or missing.
bool conformed(const Take& take, const MediaInfo& media) {
    const double played_fps = media.rate ? media.rate->per_second() : media.average_fps;
    return take.capture_fps && played_fps > 0 && *take.capture_fps > played_fps * 1.02;
}

class NaturalTrack {
  public:
    NaturalTrack(const Sources& sources, const BuildOptions& options)
        : sources_(sources), rate_(sources.limits.delivery.rate), options_(options) {}

    void lay(const PlannedShot& shot, std::size_t entry) {
        const Take& take = sources_.log.takes[shot.take];
        const MediaInfo& media = sources_.log.media[take.media];
        if (shot.speed == Fraction(1) && shot.stretches.size() < 2) {
            const FrameRange record{
                std::max(Frame{0}, shot.record.in - Frame{options_.j_cut_frames}),
                std::min(sources_.plan.length, shot.record.out + Frame{options_.l_cut_frames})};
            place(shot, take, media, entry, shot.anchors.front(), record, shot.record);
            return;
        }
        for (const Anchor& anchor : shot.anchors) {
            const double beat_s = beat_at_s(anchor);
            FrameRange record{frame_from(beat_s - hit_before_s, rate_),
                              frame_at(beat_s + hit_after_s, rate_)};
            for (const Impact& other : take.impacts)
                if (other.sound_s > take.impacts[anchor.impact].sound_s) {
                    const double gap_s = other.sound_s - take.impacts[anchor.impact].sound_s;
                    record.out = std::min(record.out, frame_at(beat_s + gap_s - next_hit_margin_s, rate_));
                }
            record.in = std::max(record.in, shot.record.in);
            record.out = std::min(record.out, shot.record.out);
            place(shot, take, media, entry, anchor, record, record);
        }
    }

    // One track: a J-cut may take from what the event before has after its hit, and ends it there.
    std::vector<AudioEvent> finish() {
        std::ranges::stable_sort(laid_, {}, [](const Laid& laid) { return laid.own.in; });
        std::vector<AudioEvent> events;
        for (std::size_t i = 1; i < laid_.size(); ++i) {
            Laid& before = laid_[i - 1];
            AudioEvent& its = laid_[i].event;
            begin_at(its, std::max(its.record.in, std::min(before.hit_end, laid_[i].own.in)));
            end_at(before.event, std::min(before.event.record.out, its.record.in));
        }
        for (Laid& laid : laid_) {
            const std::int64_t length = laid.event.record.length().n;
            if (length <= 0) continue;
            laid.event.fade_frames = std::min<int>(options_.fade_frames, static_cast<int>(length / 2));
            events.push_back(std::move(laid.event));
        }
        return events;
    }

  private:
    struct Laid {
        AudioEvent event;
        FrameRange own; // without J-cut and L-cut
        Frame hit_end;  // up to here it must be heard
    };

    static void begin_at(AudioEvent& event, Frame record) {
        event.source.in += record - event.record.in;
        event.record.in = record;
    }
    static void end_at(AudioEvent& event, Frame record) {
        event.source.out += record - event.record.out;
        event.record.out = record;
    }

    double beat_at_s(const Anchor& anchor) const {
        return sources_.beats.beats[anchor.beat].seconds - sources_.plan.song_start_s;
    }

    void place(const PlannedShot& shot, const Take& take, const MediaInfo& media, std::size_t entry,
               const Anchor& anchor, FrameRange record, FrameRange own) {
        const SourceCount count = count_source(media, rate_);
        const Frame shift =
            count.nearest(take.impacts[anchor.impact].sound_s - beat_at_s(anchor)); // record to source
        const Frame first = count.from(std::max(0.0, media.audio->first_s));
        const Frame end = count.at(std::min(media.audio->end_s, media.duration_s));
        record.in = std::max(record.in, first - shift);
        record.out = std::min(record.out, end - shift);
        if (record.empty()) return;
        own.in = std::max(own.in, record.in);
        own.out = std::min(own.out, record.out);
        const Frame hit_end = frame_at(beat_at_s(shot.anchors.back()) + hit_after_s, rate_);
        laid_.push_back({{entry, record, {record.in + shift, record.out + shift}, shot.id, 0},
                         own,
                         std::min(own.out, hit_end)});
    }

    const Sources& sources_;
    Rate rate_;
    const BuildOptions& options_;
    std::vector<Laid> laid_;
};

} // namespace

Result<std::vector<AudioEvent>> song_events(const Sources& sources, std::size_t entry,
                                            const TimelineMedia& song, std::vector<std::string>& notes) {
    const Rate rate = sources.limits.delivery.rate;
    const double start_s = sources.plan.song_start_s;
    const Frame shift = nearest_frame(start_s + song.phase.to_double() / rate.per_second(), rate);
    FrameRange record{std::max(Frame{0}, Frame{ceil(song.phase)} - shift),
                      std::min(sources.plan.length, song.length - shift)};
    if (record.empty())
        return Error{
            Fault::bad_input,
            fmt::format("the cut starts at {:.3f} s of a song that lasts {:.3f} s; choose an earlier start",
                        start_s, song.duration_s),
            song.name};
    const double off_s = song.media_s(song.first + shift, rate) - start_s;
    if (std::abs(off_s) > 1e-6)
        notes.push_back(
            fmt::format("the song starts at {:.6f} s, which is no whole frame of the list: all beats come "
                        "{:.1f} ms {} than planned",
                        start_s, std::abs(off_s) * 1e3, off_s > 0 ? "earlier" : "later"));
    if (record.out < sources.plan.length)
        notes.push_back(fmt::format("the song ends {} frames before the cut; silence follows",
                                    (sources.plan.length - record.out).n));
    return std::vector<AudioEvent>{{entry, record, {record.in + shift, record.out + shift}, "", 0}};
}

std::vector<AudioEvent> natural_events(const Sources& sources, const std::vector<std::size_t>& entry_of,
                                       const BuildOptions& options, std::vector<std::string>& notes) {
    NaturalTrack track(sources, options);
    for (const PlannedShot& shot : sources.plan.shots) {
        const Take& take = sources.log.takes[shot.take];
        const MediaInfo& media = sources.log.media[take.media];
        if (take.kind != Kind::action || shot.anchors.empty() || !media.audio) continue;
        if (conformed(take, media))
            notes.push_back(fmt::format("shot {}: no natural sound, since the file plays slower than it was "
                                        "shot and its sound is stretched",
                                        shot.id));
        else
            track.lay(shot, entry_of[take.media]);
    }
    return track.finish();
}

} // namespace downball::timeline
