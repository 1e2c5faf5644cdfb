// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/write/report.h"

#include "downball/model/m2.h"
#include "downball/text/json.h"
#include "downball/write/sync.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <set>

namespace downball::write {
namespace {

using text::Json;
using text::JsonArray;
using text::JsonObject;

constexpr int report_version = 1;

using Parts = std::vector<VideoEvent>; // of a shot

// To a billionth: finer than any clock here, and free of the tails of binary fractions.
double tidy(double value) {
    return std::round(value * 1e9) / 1e9;
}

std::string spelled(Fraction value) {
    return value.den() == 1 ? fmt::format("{}", value.num()) : fmt::format("{}/{}", value.num(), value.den());
}

class ReportText {
  public:
    explicit ReportText(const ReportInput& input)
        : input_(input), timeline_(input.timeline), parts_(parts_of_shots(input.timeline)) {}

    std::string text() {
        JsonArray shots;
        for (std::size_t i = 0; i < input_.plan.shots.size(); ++i)
            shots.push_back(shot(input_.plan.shots[i], parts_[i]));
        JsonArray outputs;
        for (const auto& [file, hash] : input_.outputs)
            outputs.push_back(JsonObject{{"file", file}, {"hash", hash}});
        for (const auto& [file, hash] : input_.kept)
            outputs.push_back(JsonObject{{"file", file}, {"hash", hash}, {"kept", true}});
        Json root = JsonObject{{"downball_report", report_version},
                               {"name", timeline_.name},
                               {"delivery", delivery()},
                               {"song", song()},
                               {"beats", beats()},
                               {"sync", sync()},
                               {"score", score()},
                               {"shots", std::move(shots)},
                               {"natural_sound", natural_sound()},
                               {"left_out", left_out()},
                               {"warnings", strings(input_.warnings)},
                               {"outputs", std::move(outputs)}};
        if (const auto& from = input_.from_list)
            root.add("from_list", JsonObject{{"list", from->list},
                                             {"hash", from->hash},
                                             {"removed", strings(from->removed)},
                                             {"told", strings(from->told)}});
        return to_text(root);
    }

  private:
    static JsonArray strings(const std::vector<std::string>& texts) {
        return JsonArray(texts.begin(), texts.end());
    }

    Json label(Frame at) const {
        const Frame day = wrap_day(at, timeline_.rate, timeline_.counting);
        const auto text = to_timecode(day, timeline_.rate, timeline_.counting);
        return text ? Json(*text) : Json();
    }

    Json record(FrameRange range) const {
        return JsonObject{{"in", range.in.n},
                          {"out", range.out.n},
                          {"in_label", label(timeline_.start + range.in)},
                          {"out_label", label(timeline_.start + range.out)}};
    }

    // Frames from the file's zero; labels from its start timecode.
    Json source(FrameRange range, Frame first) const {
        return JsonObject{{"in", (range.in - first).n},
                          {"out", (range.out - first).n},
                          {"in_label", label(range.in)},
                          {"out_label", label(range.out)}};
    }

    Json delivery() const {
        return JsonObject{{"rate", to_string(timeline_.rate)},
                          {"drop_frame", timeline_.counting == Counting::drop},
                          {"start", label(timeline_.start)},
                          {"frames", timeline_.length.n},
                          {"seconds", tidy(to_seconds(timeline_.length, timeline_.rate))}};
    }

    Json song() const {
        Json song = JsonObject{{"file", input_.song_path}, {"start_s", tidy(song_offset_s(timeline_))}};
        if (timeline_.song.empty()) return song;
        const AudioEvent& event = timeline_.song.front();
        const TimelineMedia& media = timeline_.media[event.media];
        song.add("path", media.path);
        song.add("reel", media.reel);
        song.add("record", record(event.record));
        song.add("source", source(event.source, media.first));
        if (input_.song_as_cut) song.add("cut", as_cut(*input_.song_as_cut));
        return song;
    }

    static const char* ending_word(SongEnding ending) {
        switch (ending) {
        case SongEnding::own:
            return "own";
        case SongEnding::phrase:
            return "phrase";
        case SongEnding::bar:
            return "bar";
        case SongEnding::beat:
            return "beat";
        case SongEnding::cut_off:
            break;
        }
        return "cut off";
    }

    static Json as_cut(const SongAsCut& song) {
        JsonArray pieces;
        double begun_s = 0;
        for (const SongPiece& piece : song.cut.pieces) {
            pieces.push_back(JsonObject{
                {"in_s", tidy(piece.in_s)}, {"out_s", tidy(piece.out_s)}, {"record_s", tidy(begun_s)}});
            begun_s += piece.out_s - piece.in_s;
        }
        return JsonObject{{"original", song.original},
                          {"original_id", song.original_id},
                          {"pieces", std::move(pieces)},
                          {"likeness", tidy(song.cut.likeness)},
                          {"crossfade_s", tidy(song.cut.crossfade_s)},
                          {"fade_in_s", tidy(song.cut.fade_in_s)},
                          {"fade_out_s", tidy(song.cut.fade_out_s)},
                          {"silence_s", tidy(song.cut.silence_s)},
                          {"ending", ending_word(song.cut.ending)},
                          {"gain_db", tidy(song.gain_db)},
                          {"rate_hz", song.rate_hz},
                          {"channels", song.channels},
                          {"samples", song.samples}};
    }

    Json beats() const {
        const BeatGrid& grid = input_.beats;
        const double from_s = song_offset_s(timeline_);
        const double to_s = from_s + to_seconds(timeline_.length, timeline_.rate);
        std::int64_t in_cut = 0;
        for (const Beat& beat : grid.beats)
            if (beat.seconds >= from_s && beat.seconds < to_s) ++in_cut;
        return JsonObject{
            {"tempo_bpm", tidy(grid.tempo_bpm)},
            {"beats_per_bar", grid.beats_per_bar},
            {"steady", grid.steady},
            {"residual_s", tidy(grid.residual_s)},
            {"confidence", tidy(grid.confidence)},
            {"downbeat_confidence", tidy(grid.downbeat_confidence)},
            {"in_song", static_cast<std::int64_t>(input_.song_as_cut ? input_.song_as_cut->beats_in_song
                                                                     : grid.beats.size())},
            {"in_cut", in_cut}};
    }

    Json sync() const {
        std::int64_t anchors = 0, within = 0;
        double sum = 0, worst = 0;
        for (std::size_t i = 0; i < input_.plan.shots.size(); ++i)
            for (const Anchor& each : input_.plan.shots[i].anchors) {
                const auto found = delivered(timeline_, parts_[i], impact_of(i, each), beat_of(each));
                ++anchors;
                within += found.holds;
                sum += found.error_frames;
                worst = std::max(worst, std::abs(found.error_frames));
            }
        return JsonObject{{"anchors", anchors},
                          {"within_half_frame", within},
                          {"mean_frames", tidy(anchors > 0 ? sum / static_cast<double>(anchors) : 0)},
                          {"worst_frames", tidy(worst)}};
    }

    Json score() const {
        JsonArray terms;
        for (const TermScore& term : input_.plan.terms)
            terms.push_back(JsonObject{{"name", term.name},
                                       {"weight", tidy(term.weight)},
                                       {"value", tidy(term.value)},
                                       {"points", tidy(term.points())}});
        return JsonObject{{"points", tidy(input_.plan.score)},
                          {"limit", tidy(input_.plan.limit)},
                          {"gap", tidy(input_.plan.gap())},
                          {"terms", std::move(terms)}};
    }

    const Impact& impact_of(std::size_t shot, const Anchor& anchor) const {
        return input_.log.takes[input_.plan.shots[shot].take].impacts[anchor.impact];
    }
    const Beat& beat_of(const Anchor& anchor) const { return input_.beats.beats[anchor.beat]; }

    Json anchor(const Parts& parts, const Impact& impact, const Anchor& anchor) const {
        const Beat& beat = beat_of(anchor);
        const auto found = delivered(timeline_, parts, impact, beat);
        return JsonObject{{"contact", impact.id},
                          {"skill", impact.skill ? Json(to_string(*impact.skill)) : Json()},
                          {"skill_sure", impact.skill && impact.skill_sure},
                          {"source", to_string(impact.source)},
                          {"confidence", tidy(impact.confidence)},
                          {"picture_s", tidy(impact.picture_s)},
                          {"sound_s", tidy(impact.sound_s)},
                          {"beat", static_cast<std::int64_t>(anchor.beat)},
                          {"beat_position", beat.position},
                          {"beat_s", tidy(beat.seconds)},
                          {"beat_record_s", tidy(found.beat_record_s)},
                          {"shown_record_s", tidy(found.shown_record_s)},
                          {"error_s", tidy(found.error_s)},
                          {"error_frames", tidy(found.error_frames)},
                          {"m2_error_frames", tidy(found.m2_error_frames)},
                          {"holds", found.holds},
                          {"holds_with_m2", found.holds_with_m2}};
    }

    // Of a rally on the beat, one after the other.
    Json parts(const Parts& events, Frame first) const {
        JsonArray all;
        for (const VideoEvent& event : events)
            all.push_back(JsonObject{{"record", record(event.record)},
                                     {"source", source(event.source, first)},
                                     {"speed", event.speed.to_double()},
                                     {"speed_fraction", spelled(event.speed)},
                                     {"m2", m2(event)}});
        return all;
    }

    Json m2(const VideoEvent& event) const {
        if (event.speed == Fraction(1)) return {};
        return Json(static_cast<double>(m2_tenths(event.speed, timeline_.rate)) / 10);
    }

    Json shot(const PlannedShot& planned, const Parts& events) const {
        const VideoEvent& event = *std::ranges::min_element(events, {}, &VideoEvent::speed); // the slowest
        const FrameRange record_range{events.front().record.in, events.back().record.out};
        const FrameRange source_range{events.front().source.in, events.back().source.out};
        const Take& take = input_.log.takes[planned.take];
        JsonArray skills, anchors;
        for (const Skill skill : take.skills)
            skills.push_back(to_string(skill));
        for (const Anchor& each : planned.anchors)
            anchors.push_back(anchor(events, take.impacts[each.impact], each));
        Json shot = JsonObject{{"id", event.shot}, {"take", event.take}};
        const TimelineMedia* media = event.media ? &timeline_.media[*event.media] : nullptr;
        shot.add("file", media ? Json(media->name) : Json());
        shot.add("path", media ? Json(media->path) : Json());
        shot.add("reel", media ? media->reel : "BL");
        shot.add("kind", to_string(take.kind));
        shot.add("players", strings(take.players));
        shot.add("skills", std::move(skills));
        shot.add("size", to_string(take.size));
        shot.add("angle", to_string(take.angle));
        shot.add("camera", take.camera);
        shot.add("moment", take.moment);
        const Frame first = media ? media->first : Frame{0};
        shot.add("record", record(record_range));
        shot.add("source", source(source_range, first));
        shot.add("speed", event.speed.to_double());
        shot.add("speed_fraction", spelled(event.speed));
        shot.add("m2", m2(event));
        if (!planned.stretches.empty()) shot.add("parts", parts(events, first));
        shot.add("anchors", std::move(anchors));
        return shot;
    }

    Json natural_sound() const {
        JsonArray events;
        for (const AudioEvent& event : timeline_.natural) {
            const TimelineMedia& media = timeline_.media[event.media];
            events.push_back(JsonObject{{"shot", event.shot},
                                        {"file", media.name},
                                        {"record", record(event.record)},
                                        {"source", source(event.source, media.first)},
                                        {"fade_frames", event.fade_frames}});
        }
        return events;
    }

    Json left_out() const {
        std::set<std::size_t> used;
        for (const PlannedShot& planned : input_.plan.shots)
            used.insert(planned.take);
        JsonArray takes;
        for (std::size_t i = 0; i < input_.log.takes.size(); ++i) {
            if (used.contains(i)) continue;
            const Take& take = input_.log.takes[i];
            const auto why = input_.why_left_out.find(i);
            Json left =
                JsonObject{{"take", take.id}, {"kind", to_string(take.kind)}, {"use", to_string(take.use)}};
            if (why != input_.why_left_out.end()) left.add("why", why->second);
            takes.push_back(std::move(left));
        }
        return takes;
    }

    const ReportInput& input_;
    const Timeline& timeline_;
    std::vector<Parts> parts_; // by shot
};

} // namespace

std::string report(const ReportInput& input) {
    return ReportText(input).text();
}

} // namespace downball::write
