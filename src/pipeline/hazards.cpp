// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/hazards.h"

#include "downball/base/notes.h"
#include "downball/preview/repeats.h"
#include "downball/write/sync.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace downball::pipeline {

namespace {

FrameRange record_of(const std::vector<VideoEvent>& parts) {
    return {parts.front().record.in, parts.back().record.out};
}

std::string off_by(double picture_late_s) {
    return fmt::format("{:.0f} ms {} its beat", std::abs(picture_late_s) * 1000,
                       picture_late_s > 0 ? "after" : "ahead of");
}

} // namespace

std::vector<Warning> quick_cuts(const Timeline& timeline) {
    struct Run {
        Frame first, last;
        int cuts;
    };
    const auto within = [&](Frame length, std::int64_t part_of_second) {
        return Fraction(length.n) * Fraction(part_of_second) < timeline.rate.value();
    };
    std::vector<Run> runs;
    Frame before{0};
    int since = 0; // cuts since the last run
    for (const VideoEvent& event : timeline.video) {
        if (event.part > 0 || event.record.in == Frame{0}) continue;
        const Frame cut = event.record.in;
        ++since;
        if (before > Frame{0} && within(cut - before, 3)) {
            const bool same =
                !runs.empty() && (runs.back().last == before || within(before - runs.back().last, 1));
            if (same) {
                runs.back().last = cut;
                runs.back().cuts += since;
            } else {
                runs.push_back({before, cut, 2});
            }
            since = 0;
        }
        before = cut;
    }
    std::vector<Warning> warnings;
    for (const Run& run : runs)
        warnings.emplace_back(
            fmt::format("from {} to {} there are {} cuts, some less than a third of a second apart, which "
                        "can hurt photosensitive viewers; check it and say so where the reel is shown",
                        record_label(timeline, run.first), record_label(timeline, run.last), run.cuts),
            FrameRange{run.first, run.last + Frame{1}});
    return warnings;
}

std::vector<Warning> noticed_sync(const Timeline& timeline, const CutPlan& plan, const BeatGrid& beats,
                                  const ShotLog& log) {
    const auto shots = parts_of_shots(timeline);
    std::vector<Warning> warnings;
    for (std::size_t i = 0; i < std::min(shots.size(), plan.shots.size()); ++i)
        for (const Anchor& anchor : plan.shots[i].anchors) {
            const Impact& impact = log.takes[plan.shots[i].take].impacts[anchor.impact];
            const auto found = write::delivered(timeline, shots[i], impact, beats.beats[anchor.beat]);
            const double m2_s = found.m2_error_frames / timeline.rate.per_second();
            const bool by_m2 = !write::noticed(found.error_s);
            if (by_m2 && !write::noticed(m2_s)) continue;
            const Frame at = frame_at(std::max(0.0, found.beat_record_s), timeline.rate);
            warnings.emplace_back(
                fmt::format("{}: its contact on the beat at {} is seen {}{}, which is noticed: a picture may "
                            "be {:.0f} ms late or {:.0f} ms early (ITU-R BT.1359-1)",
                            impact.id, record_label(timeline, at), off_by(by_m2 ? m2_s : found.error_s),
                            by_m2 ? " where a program goes by the EDL's M2 line" : "",
                            1000 * write::picture_late_s, 1000 * write::picture_early_s),
                FrameRange{at, at + Frame{1}});
        }
    return warnings;
}

std::vector<Warning> stuttering(const Timeline& timeline, const CutPlan& plan, const ShotLog& log) {
    const auto shots = parts_of_shots(timeline);
    std::vector<Warning> warnings;
    for (std::size_t i = 0; i < std::min(shots.size(), plan.shots.size()); ++i) {
        const FrameTable& frames = log.media[log.takes[plan.shots[i].take].media].frames;
        std::int64_t repeated = 0, slowed = 0;
        for (const VideoEvent& part : shots[i]) {
            if (!part.media || part.speed >= Fraction(1)) continue;
            slowed += part.record.length().n;
            repeated += preview::repeated_pictures(part, timeline.media[*part.media], frames, timeline.rate);
        }
        if (repeated > 0)
            warnings.emplace_back(
                fmt::format("{}: {} of its {} slowed frames repeat the picture before them; its "
                            "file has too few pictures a second for that speed",
                            shots[i].front().shot, repeated, slowed),
                record_of(shots[i]));
    }
    return warnings;
}

std::vector<Warning> short_handles(const Timeline& timeline, int asked_frames) {
    const std::int64_t wanted = std::max(usual_handle_frames, asked_frames);
    const auto shots = parts_of_shots(timeline);
    std::vector<std::string> found;
    std::optional<FrameRange> first;
    for (const auto& parts : shots) {
        if (!parts.front().media) continue;
        const TimelineMedia& file = timeline.media[*parts.front().media];
        const std::int64_t head = (parts.front().source.in - file.first).n;
        const std::int64_t tail = (file.first + file.length - parts.back().source.out).n;
        if (head >= wanted && tail >= wanted) continue;
        if (!first) first = record_of(parts);
        found.push_back(fmt::format("{} ({} at its {})", parts.front().shot,
                                    std::max<std::int64_t>(0, std::min(head, tail)),
                                    head < tail ? "head" : "tail"));
    }
    if (found.empty()) return {};
    return {Warning(
        fmt::format("{} of {} shots have fewer than {} spare frames in their file at one end, so that "
                    "little can be trimmed or dissolved there: {}",
                    found.size(), shots.size(), wanted, some_of(found)),
        found.size() == 1 ? first : std::nullopt)};
}

std::vector<Warning> hazards(const Timeline& timeline, const CutPlan& plan, const BeatGrid& beats,
                             const ShotLog& log, int handle_frames) {
    std::vector<Warning> all = quick_cuts(timeline);
    for (const auto& more : {noticed_sync(timeline, plan, beats, log), stuttering(timeline, plan, log),
                             short_handles(timeline, handle_frames)})
        all.insert(all.end(), more.begin(), more.end());
    return all;
}

} // namespace downball::pipeline
