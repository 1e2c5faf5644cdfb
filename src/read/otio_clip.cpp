// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "read/otio_clip.h"

#include "read/otio_url.h"
#include "read/rules.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>

namespace downball::read {

using text::Json;

namespace {

constexpr double fastest = 10'000; // no file has that many frames for one of the list
constexpr double same_instant_s = 1e-6;

// Rule 22: the colours of Marker in the library.
constexpr std::array<std::string_view, 11> colours{"PINK", "RED",    "ORANGE",  "YELLOW", "GREEN", "CYAN",
                                                   "BLUE", "PURPLE", "MAGENTA", "BLACK",  "WHITE"};

} // namespace

std::optional<ListedEvent> OtioClips::clip(const Json& clip, const std::string& place, Frame at) {
    ListedEvent event;
    event.place = place;
    values_.look_over(clip, place,
                      {"source_range", "effects", "markers", "enabled", "media_references",
                       "active_media_reference_key", "media_reference"});
    read_own(clip, place, event);
    const Media used = media(active(clip, place), event);
    auto source = values_.range(clip, place, "source_range", {});
    const Json* told = clip.find("source_range");
    if (!told || told->is_null())
        source = used.available; // as the library takes it
    else if (source)
        values_.expect_list_rate(*source, place + "/source_range", 19);
    if (!source) return std::nullopt;
    event.source = values_.in_list(*source);
    event.record = {at, at + event.source.length()};
    read_warps(clip, event);
    read_marks(clip, event);
    check_use(used, event);
    check_reel(clip, used, event);
    return event;
}

void OtioClips::read_own(const Json& clip, const std::string& place, ListedEvent& event) {
    const auto own_text = [&](std::string_view member) -> std::string {
        const Json* found = OtioValues::own(clip, member);
        if (!found) return {};
        if (found->is_string()) return found->string();
        values_.breach(fmt::format("{}/metadata/downball/{}", place, member),
                       fmt::format("found {} for the {}, expected a text", spelled(found), member), 24);
        return {};
    };
    event.reel = own_text("reel");
    event.shot = own_text("shot");
}

OtioClips::Reference OtioClips::active(const Json& clip, const std::string& place) {
    const Json* old = clip.find("media_reference"); // of Clip.1
    const bool first_version = otio_schema(clip).version == "1";
    if (old && !first_version) values_.pass_over(place + "/media_reference", "stands in Clip.1 only");
    if (old && first_version) return {old, place + "/media_reference"};
    const Json* references = clip.find("media_references");
    const Json* key = clip.find("active_media_reference_key");
    if (!references || !references->is_object()) {
        values_.breach(references ? place + "/media_references" : place,
                       fmt::format("found {} for media_references, expected an object", spelled(references)),
                       17);
        return {};
    }
    const Json* chosen = key && key->is_string() ? references->find(key->string()) : nullptr;
    for (const auto& [name, value] : references->object())
        if (&value != chosen)
            values_.pass_over(place + "/media_references" + text::pointer({name}),
                              "not the active reference");
    if (!chosen) {
        values_.breach(key ? place + "/active_media_reference_key" : place,
                       fmt::format("the active media key is {}, which has no media reference", spelled(key)),
                       17);
        return {};
    }
    return {chosen, place + "/media_references" + text::pointer({key->string()})};
}

OtioClips::Media OtioClips::media(const Reference& reference, ListedEvent& event) {
    Media media;
    media.place = reference.place;
    if (!reference.value) return media;
    const Json& value = *reference.value;
    event.file = text_of(value, "name");
    if (!values_.is(value, media.place, "ExternalReference")) {
        values_.pass_over(media.place, fmt::format("{} names no file", spelled(&value)));
        return media;
    }
    values_.look_over(value, media.place, {"available_range", "target_url"});
    media.available = values_.range(value, media.place, "available_range", {.whole_start = false});
    if (const Json* reel = OtioValues::own(value, "reel"); reel && reel->is_string())
        media.reel = reel->string();
    const Json* url = value.find("target_url");
    if (!url || !url->is_string()) {
        values_.breach(url ? media.place + "/target_url" : media.place,
                       fmt::format("found {} for target_url, expected a text", spelled(url)), 23);
        return media;
    }
    media.url = url->string();
    if (const auto fault = url_fault(media.url); !fault.empty())
        values_.breach(media.place + "/target_url", fmt::format("found {}: {}", spelled(url), fault), 23);
    if (auto name = url_file(media.url); !name.empty()) event.file = std::move(name);
    return media;
}

void OtioClips::read_warps(const Json& clip, ListedEvent& event) {
    const auto* effects = values_.array(clip, event.place, "effects");
    for (std::size_t i = 0; effects && i < effects->size(); ++i)
        read_warp((*effects)[i], fmt::format("{}/effects/{}", event.place, i), event);
}

void OtioClips::read_warp(const Json& effect, const std::string& place, ListedEvent& event) {
    if (!values_.is(effect, place, "LinearTimeWarp", true)) {
        values_.breach(place, fmt::format("found {}, expected LinearTimeWarp.1 alone", spelled(&effect)), 20);
        values_.pass_over(place, spelled(&effect));
        return;
    }
    values_.look_over(effect, place, {"effect_name", "time_scalar", "enabled"});
    const Json* name = effect.find("effect_name");
    if (!name || !name->is_string() || name->string() != "LinearTimeWarp")
        values_.breach(name ? place + "/effect_name" : place,
                       fmt::format("found {} for effect_name, expected \"LinearTimeWarp\"", spelled(name)),
                       20);
    const Json* scalar = effect.find("time_scalar");
    const double factor = scalar && scalar->is_number() ? scalar->number() : 0;
    if (factor == 0 || std::abs(event.speed * factor) > fastest) {
        values_.breach(scalar ? place + "/time_scalar" : place,
                       fmt::format("found {} for time_scalar, expected a speed", spelled(scalar)), 20);
        values_.pass_over(place, "a warp without a usable speed");
        return;
    }
    if (!values_.enabled(effect, place)) {
        values_.pass_over(place, "a warp that is not enabled");
        return;
    }
    event.speed *= factor;
    event.retimed = true;
}

void OtioClips::read_marks(const Json& item, ListedEvent& event) {
    const auto* markers = values_.array(item, event.place, "markers");
    for (std::size_t i = 0; markers && i < markers->size(); ++i)
        read_mark((*markers)[i], fmt::format("{}/markers/{}", event.place, i), event);
}

void OtioClips::read_mark(const Json& marker, const std::string& place, ListedEvent& event) {
    if (!values_.is(marker, place, "Marker")) {
        values_.pass_over(place, spelled(&marker));
        return;
    }
    values_.look_over(marker, place, {"color", "marked_range"});
    const std::string colour = text_of(marker, "color");
    if (std::ranges::find(colours, colour) == colours.end())
        values_.breach(marker.find("color") ? place + "/color" : place,
                       fmt::format("found {} for the colour, expected one of the library's, as RED",
                                   spelled(marker.find("color"))),
                       22);
    const auto range =
        values_.range(marker, place, "marked_range", {.missing = 22, .fraction = 22, .may_be_empty = true});
    if (!range) return;
    values_.expect_list_rate(*range, place + "/marked_range", 22);
    const Frame at = values_.in_list(range->start, range->rate);
    if (!event.source.contains(at)) {
        values_.breach(place + "/marked_range",
                       fmt::format("the marker stands at {}, its clip from {} to {}", at.n, event.source.in.n,
                                   event.source.out.n),
                       22);
        return;
    }
    event.marks.push_back({event.record.in + (at - event.source.in), text_of(marker, "name")});
}

// Backwards as forwards a clip shows duration x speed of its file. The file's own length is rounded down to its
// frames, so up to one of them more is there.
void OtioClips::check_use(const Media& media, const ListedEvent& event) {
    if (!media.available) return;
    const double rate = media.available->rate.per_second();
    const double origin_s = media.available->start / rate;
    const double there_s = (media.available->length + 1) / rate;
    const double begin_s = to_seconds(event.source.in, values_.list().rate) - origin_s;
    const double item_s = to_seconds(event.record.length(), values_.list().rate);
    const double end_s = begin_s + item_s * std::abs(event.speed);
    const auto complain = [&](int rule) {
        values_.breach(event.place,
                       fmt::format("uses {:.3f} to {:.3f} s of a file of {:.3f} s", begin_s, end_s,
                                   media.available->length / rate),
                       rule);
    };
    if (begin_s < -same_instant_s || (!event.retimed && end_s > there_s + same_instant_s))
        complain(19);
    else if (end_s > there_s + same_instant_s)
        complain(20);
    if (media.url.empty()) return;
    const double known_s = origin_s_.try_emplace(media.url, origin_s).first->second;
    if (std::abs(known_s - origin_s) > same_instant_s)
        values_.breach(
            media.place + "/available_range",
            fmt::format("the file's time begins at {:.3f} s here and at {:.3f} s before", origin_s, known_s),
            25);
}

void OtioClips::check_reel(const Json& clip, const Media& media, const ListedEvent& event) {
    if (!good_reel(event.reel) || event.reel == "BL") {
        values_.breach(
            event.place,
            fmt::format("found {} for metadata.downball.reel, expected 1 to 8 of A-Z and 0-9, not BL",
                        spelled(OtioValues::own(clip, "reel"))),
            5);
        return;
    }
    if (!media.reel.empty() && media.reel != event.reel)
        values_.breach(media.place,
                       fmt::format("the clip's reel is {}, its media's {}", event.reel, media.reel), 5);
    if (media.url.empty()) return;
    const std::string& file = file_of_reel_.try_emplace(event.reel, media.url).first->second;
    const std::string& reel = reel_of_file_.try_emplace(media.url, event.reel).first->second;
    if (file != media.url)
        values_.breach(event.place,
                       fmt::format("the reel {} is two files: {} and {}", event.reel, file, media.url), 5);
    else if (reel != event.reel)
        values_.breach(event.place,
                       fmt::format("the file {} has two reels: {} and {}", media.url, reel, event.reel), 5);
}

} // namespace downball::read
