// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/write/otio.h"

#include "write/otio_values.h"
#include "write/target_url.h"

#include "downball/text/json.h"

#include <fmt/format.h>
#include <optional>
#include <vector>

namespace downball::write {
namespace {

using text::Json;
using text::JsonArray;
using text::JsonObject;

constexpr const char* media_key = "DEFAULT_MEDIA";

std::string spelled(Fraction value) {
    return value.den() == 1 ? fmt::format("{}", value.num()) : fmt::format("{}/{}", value.num(), value.den());
}

class OtioText {
  public:
    OtioText(const Timeline& timeline, const OtioOptions& options) : timeline_(timeline), options_(options) {}

    Result<std::string> text() {
        JsonArray tracks;
        auto video = video_track();
        if (!video) return video.error();
        tracks.push_back(std::move(*video));
        auto song = audio_track("song", timeline_.song);
        if (!song) return song.error();
        tracks.push_back(std::move(*song));
        auto natural = audio_track("natural sound", timeline_.natural);
        if (!natural) return natural.error();
        tracks.push_back(std::move(*natural));

        Json stack = otio_object("Stack.1", "tracks", {});
        add_item_fields(stack);
        stack.add("source_range", nullptr);
        stack.add("children", std::move(tracks));

        JsonArray notes;
        for (const std::string& note : timeline_.notes)
            notes.push_back(note);
        Json root = otio_object("Timeline.1", timeline_.name,
                                {{"rate", to_string(timeline_.rate)},
                                 {"drop_frame", timeline_.counting == Counting::drop},
                                 {"notes", std::move(notes)}});
        root.add("global_start_time", rational_time(timeline_.start, timeline_.rate));
        root.add("tracks", std::move(stack));
        return to_text(root);
    }

  private:
    static void add_item_fields(Json& item, JsonArray effects = {}, JsonArray markers = {}) {
        item.add("effects", std::move(effects));
        item.add("markers", std::move(markers));
        item.add("enabled", true);
    }

    // The same for all clips of a file, so it is made once.
    Result<Json> reference(std::size_t media_index) {
        if (references_.empty()) references_.resize(timeline_.media.size());
        auto& made = references_[media_index];
        if (made) return *made;
        const TimelineMedia& media = timeline_.media[media_index];
        auto url = target_url(media.path, options_);
        if (!url) return url.error();
        JsonObject own{{"reel", media.reel}, {"id", media.id}};
        if (!media.moved_from.empty()) own.emplace_back("logged_as", media.moved_from);
        made = otio_object("ExternalReference.1", media.name, std::move(own));
        made->add("available_range", available_range(media));
        made->add("target_url", std::move(*url));
        return *made;
    }

    // Source time has one origin in both lists: the file's start label. It need not fall on a whole frame of
    // the list, nor, where camera and container count at different rates, on one of the media.
    Json available_range(const TimelineMedia& media) const {
        const Rate rate = media.rate.value_or(timeline_.rate);
        return time_range(media.label_s(timeline_.rate), frame_at(media.duration_s, rate), rate);
    }

    // The item's duration is its record length, with a warp as without one.
    Result<Json> clip(std::size_t media_index, Frame source_in, Frame length, JsonObject own,
                      JsonArray effects, JsonArray markers) {
        const TimelineMedia& media = timeline_.media[media_index];
        auto ref = reference(media_index);
        if (!ref) return ref.error();
        own.insert(own.begin(), {"reel", media.reel});
        Json clip = otio_object("Clip.2", media.name, std::move(own));
        clip.add("source_range", time_range(source_in, length, timeline_.rate));
        add_item_fields(clip, std::move(effects), std::move(markers));
        JsonObject references;
        references.emplace_back(media_key, std::move(*ref));
        clip.add("media_references", std::move(references));
        clip.add("active_media_reference_key", media_key);
        return clip;
    }

    Json track(const char* kind, const char* name, JsonArray children) const {
        Json track = otio_object("Track.1", name, {});
        track.add("kind", kind);
        track.add("source_range", nullptr);
        add_item_fields(track);
        track.add("children", std::move(children));
        return track;
    }

    Result<Json> video_track() {
        JsonArray children;
        for (const VideoEvent& event : timeline_.video) {
            if (!event.media) {
                children.push_back(otio_gap(event.record.length(), timeline_.rate));
                continue;
            }
            JsonArray effects, markers;
            if (event.speed != Fraction(1)) effects.push_back(warp(event.speed));
            for (const Marker& contact : event.contacts)
                markers.push_back(otio_marker(
                    contact.name, "RED", event.source.in + (contact.at - event.record.in), timeline_.rate));
            auto item =
                clip(*event.media, event.source.in, event.record.length(),
                     {{"shot", event.shot}, {"take", event.take}}, std::move(effects), std::move(markers));
            if (!item) return item.error();
            children.push_back(std::move(*item));
        }
        return track("Video", "picture", std::move(children));
    }

    static Json warp(Fraction speed) {
        Json warp = otio_object("LinearTimeWarp.1", "speed " + spelled(speed), {{"speed", spelled(speed)}});
        warp.add("effect_name", "LinearTimeWarp");
        warp.add("time_scalar", speed.to_double());
        warp.add("enabled", true);
        return warp;
    }

    Result<Json> audio_track(const char* name, const std::vector<AudioEvent>& events) {
        JsonArray children;
        Frame at{0};
        for (const AudioEvent& event : events) {
            if (event.record.in > at) children.push_back(otio_gap(event.record.in - at, timeline_.rate));
            JsonArray markers;
            JsonObject own;
            if (event.shot.empty())
                for (const Marker& section : timeline_.sections) {
                    if (event.record.contains(section.at))
                        markers.push_back(otio_marker(section.name, "BLUE",
                                                      event.source.in + (section.at - event.record.in),
                                                      timeline_.rate));
                }
            else
                own = {{"shot", event.shot}, {"fade_frames", event.fade_frames}};
            auto item = clip(event.media, event.source.in, event.record.length(), std::move(own), {},
                             std::move(markers));
            if (!item) return item.error();
            children.push_back(std::move(*item));
            at = event.record.out;
        }
        if (at < timeline_.length) children.push_back(otio_gap(timeline_.length - at, timeline_.rate));
        return track("Audio", name, std::move(children));
    }

    const Timeline& timeline_;
    const OtioOptions& options_;
    std::vector<std::optional<Json>> references_; // by media
};

} // namespace

Result<std::string> otio(const Timeline& timeline, const OtioOptions& options) {
    return OtioText(timeline, options).text();
}

} // namespace downball::write
