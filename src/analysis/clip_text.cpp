// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "analysis/clip_text.h"

#include "downball/impacts/impact_finder.h"
#include "downball/media/probe.h"
#include "downball/text/members.h"

namespace downball::analysis {

namespace {

using text::Json;
using text::JsonArray;
using text::JsonObject;
using text::Members;

constexpr int form_version = 1;

Json rate_to_json(const std::optional<Rate>& rate) {
    if (!rate) return {};
    return JsonArray{rate->value().num(), rate->value().den()};
}

std::optional<Rate> rate_from(Members& members, std::string_view name) {
    const auto* member = members.find(name);
    if (member && member->is_null()) return std::nullopt;
    const auto parts = members.numbers(name);
    if (parts.size() == 2 && parts[0] >= 1 && parts[1] >= 1)
        return Rate(static_cast<std::int64_t>(parts[0]), static_cast<std::int64_t>(parts[1]));
    members.spoil();
    return std::nullopt;
}

Json start_to_json(const std::optional<StartTimecode>& start) {
    if (!start) return {};
    return JsonObject{{"label", start->label},
                      {"frame", start->at.n},
                      {"rate", rate_to_json(start->rate)},
                      {"drop", start->counting == Counting::drop}};
}

std::optional<StartTimecode> start_from(Members& media) {
    const auto* object = media.object("start");
    if (!object) return std::nullopt;
    Members members(*object);
    StartTimecode start{members.string("label"), Frame{members.integer("frame")}, Rate(),
                        members.truth("drop") ? Counting::drop : Counting::non_drop};
    if (const auto rate = rate_from(members, "rate"))
        start.rate = *rate;
    else
        members.spoil();
    if (!members.good()) media.spoil();
    return start;
}

Json sound_to_json(const std::optional<AudioInfo>& audio) {
    if (!audio) return {};
    return JsonObject{{"rate_hz", audio->rate_hz},
                      {"channels", audio->channels},
                      {"first_s", audio->first_s},
                      {"end_s", audio->end_s}};
}

std::optional<AudioInfo> sound_from(Members& media) {
    const auto* object = media.object("sound");
    if (!object) return std::nullopt;
    Members members(*object);
    const AudioInfo audio{static_cast<int>(members.integer("rate_hz")),
                          static_cast<int>(members.integer("channels")), members.number("first_s"),
                          members.number("end_s")};
    if (!members.good()) media.spoil();
    return audio;
}

template <class T>
Json or_null(const std::optional<T>& value) {
    return value ? Json(*value) : Json();
}

} // namespace

JsonObject media_to_json(const MediaInfo& media) {
    JsonArray shown(media.frames.shown_s.begin(), media.frames.shown_s.end());
    return {{"id", media.id},
            {"bytes", media.bytes},
            {"duration_s", media.duration_s},
            {"pictures", media.has_video},
            {"rate", rate_to_json(media.rate)},
            {"variable_rate", media.variable_rate},
            {"average_fps", media.average_fps},
            {"shown_s", std::move(shown)},
            {"off_s", media.frames.off_s},
            {"width", media.width},
            {"height", media.height},
            {"rotation", media.rotation},
            {"start", start_to_json(media.start)},
            {"sound", sound_to_json(media.audio)},
            {"created", or_null(media.created)},
            {"time_of_day_s", or_null(media.time_of_day_s)},
            {"device", media.device},
            {"card_reel", media.card_reel}};
}

std::optional<MediaInfo> media_from(const Json& found) {
    Members members(found);
    MediaInfo media;
    media.id = members.string("id");
    media.bytes = static_cast<std::uint64_t>(members.integer("bytes"));
    media.duration_s = members.number("duration_s");
    media.has_video = members.truth("pictures");
    media.rate = media.frames.constant = rate_from(members, "rate");
    media.variable_rate = members.truth("variable_rate");
    media.average_fps = members.number("average_fps");
    media.frames.shown_s = members.numbers("shown_s");
    media.frames.off_s = members.number("off_s");
    media.width = static_cast<int>(members.integer("width"));
    media.height = static_cast<int>(members.integer("height"));
    media.rotation = static_cast<int>(members.integer("rotation"));
    media.start = start_from(members);
    media.audio = sound_from(members);
    media.created = members.maybe_string("created");
    media.time_of_day_s = members.maybe_number("time_of_day_s");
    media.device = members.string("device");
    media.card_reel = members.string("card_reel");
    return members.good() ? std::optional(std::move(media)) : std::nullopt;
}

Document clip_document(const std::string& id) {
    return {id + ".clip.json", "clip", {form_version, media::probe_version, impacts::detector_version}};
}

JsonObject to_json(const ClipFound& clip) {
    Json hearing;
    if (clip.hearing) {
        JsonArray contacts, notes(clip.hearing->notes.begin(), clip.hearing->notes.end());
        for (const auto& contact : clip.hearing->contacts)
            contacts.push_back(JsonArray{contact.sound_s, contact.confidence, contact.strength, contact.hard,
                                         contact.rally});
        hearing = JsonObject{
            {"contacts", std::move(contacts)}, {"crowd", clip.hearing->crowd}, {"notes", std::move(notes)}};
    }
    return {{"media", media_to_json(clip.media)}, {"hearing", std::move(hearing)}, {"unheard", clip.unheard}};
}

std::optional<ClipFound> clip_from(const Json& found) {
    Members members(found);
    ClipFound clip;
    const auto* media = members.object("media");
    auto told = media ? media_from(*media) : std::nullopt;
    if (!told) return std::nullopt;
    clip.media = std::move(*told);
    clip.unheard = members.string("unheard");
    if (const auto* object = members.object("hearing")) {
        Members hearing(*object);
        clip.hearing.emplace();
        for (const auto& row : hearing.rows("contacts", 5))
            clip.hearing->contacts.push_back({row[0], row[1], row[2], row[3], static_cast<int>(row[4])});
        clip.hearing->crowd = hearing.number("crowd");
        clip.hearing->notes = hearing.strings("notes");
        if (!hearing.good()) return std::nullopt;
    }
    return members.good() ? std::optional(std::move(clip)) : std::nullopt;
}

} // namespace downball::analysis
