// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/media/probe.h"

#include "downball/media/content_id.h"
#include "media/decoded_sound.h"
#include "media/frame_rate.h"
#include "media/rotation.h"
#include "media/start_label.h"
#include "media/survey.h"

#include "downball/base/text.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>

namespace downball::media {

namespace {

std::optional<std::string> tag(const AVDictionary* tags, const char* key) {
    const auto* entry = av_dict_get(tags, key, nullptr, 0);
    return entry && *entry->value ? std::optional<std::string>(entry->value) : std::nullopt;
}

std::vector<Rate> stated_rates(const AVStream* track) {
    std::vector<Rate> stated;
    for (const auto rate : {track->avg_frame_rate, track->r_frame_rate})
        if (const auto candidate = stated_rate(rate.num, rate.den)) stated.push_back(*candidate);
    return stated;
}

Fraction tick_of(const AVStream* track) {
    return {track->time_base.num, track->time_base.den};
}

void keep_constant(Rate rate, double duration_s, MediaInfo& info) {
    info.rate = info.frames.constant = rate;
    info.average_fps = rate.per_second();
    info.duration_s = duration_s;
}

void keep_constant(Rate rate, std::span<const std::int64_t> shown, const AVStream* track, MediaInfo& info) {
    keep_constant(rate, static_cast<double>(shown.size()) / rate.per_second(), info);
    info.frames.off_s = off_rate_ticks(shown, tick_of(track), rate) * tick_of(track).to_double();
}

// How long the last picture is up. Files with reordered pictures tell no durations of these, but where the track ends;
// where pictures are missing at the end that is not believed.
double last_picture_s(const Survey& found, const AVStream* track, const MediaInfo& info) {
    if (found.last_ticks > 0) return seconds(found.last_ticks, track->time_base);
    std::int64_t longest = 0;
    for (std::size_t k = 1; k < found.shown.size(); ++k)
        longest = std::max(longest, found.shown[k] - found.shown[k - 1]);
    if (track->duration > 0 && track->start_time != AV_NOPTS_VALUE) {
        const auto rest = track->start_time + track->duration - found.shown.back();
        if (rest > 0 && rest <= longest) return seconds(rest, track->time_base);
    }
    return info.average_fps > 0 ? 1 / info.average_fps : 0;
}

void keep_rate(const Survey& found, const Input& input, const AVStream* track, MediaInfo& info) {
    const auto stated = stated_rates(track);
    if (!found.complete && !stated.empty()) {
        // Without a time for each picture the container's word is all there is.
        const auto whole = std::max<std::int64_t>(0, input.format->duration);
        const auto length =
            track->duration > 0 ? seconds(track->duration, track->time_base) : seconds(whole, AV_TIME_BASE_Q);
        return keep_constant(stated.front(), length, info);
    }
    if (const auto rate = constant_rate(found.shown, tick_of(track), stated))
        return keep_constant(*rate, found.shown, track, info);
    if (found.shown.empty()) return;

    info.variable_rate = true;
    info.average_fps = mean_rate(found.shown, tick_of(track));
    info.frames.shown_s.reserve(found.shown.size());
    for (const auto at : found.shown)
        info.frames.shown_s.push_back(seconds(at - found.shown.front(), track->time_base));
    info.duration_s = info.frames.shown_s.back() + last_picture_s(found, track, info);
}

// The rate in which a label counts where nothing says it: the pictures'. Where that varies, as lost pictures make it,
// the mean is no rate that labels have; the container often still states the one that was meant.
std::optional<Rate> labelled_rate(const AVStream* track, const MediaInfo& info) {
    if (info.rate) return info.rate;
    for (const auto rate : {track->r_frame_rate, track->avg_frame_rate})
        if (const auto stated = stated_rate(rate.num, rate.den); stated && has_timecode(*stated))
            return stated;
    if (info.average_fps <= 0) return std::nullopt;
    const std::array labels{Rate(24000, 1001), Rate(24), Rate(25),          Rate(30000, 1001), Rate(30),
                            Rate(48),          Rate(50), Rate(60000, 1001), Rate(60)};
    return *std::ranges::min_element(
        labels, {}, [&](Rate rate) { return std::abs(std::log(rate.per_second() / info.average_fps)); });
}

// The label may stand at the pictures, at a timecode track, which also has its rate, or at the whole file.
std::optional<StartTimecode> start_of(const Input& input, const AVStream* track, const MediaInfo& info) {
    auto label = tag(track->metadata, "timecode");
    std::optional<Rate> rate;
    for (unsigned i = 0; i < input.format->nb_streams; ++i) {
        const auto* stream = input.format->streams[i];
        if (stream->codecpar->codec_type != AVMEDIA_TYPE_DATA) continue;
        const auto written = tag(stream->metadata, "timecode");
        if (!written) continue;
        if (!label) label = written;
        if (*label == *written) rate = stated_rate(stream->avg_frame_rate.num, stream->avg_frame_rate.den);
        break;
    }
    if (!label) label = tag(input.format->metadata, "timecode");
    if (!label) return std::nullopt;
    if (!rate) rate = labelled_rate(track, info);
    return rate ? read_start_label(*label, *rate) : std::nullopt;
}

// Cameras write it beside the start label: mov at the timecode track, MXF at the picture track, others at the
// file. Some name it by the tape.
std::string reel_of(const Input& input, const AVStream* track) {
    std::vector<const AVDictionary*> places;
    for (unsigned i = 0; i < input.format->nb_streams; ++i)
        if (input.format->streams[i]->codecpar->codec_type == AVMEDIA_TYPE_DATA)
            places.push_back(input.format->streams[i]->metadata);
    places.push_back(track->metadata);
    places.push_back(input.format->metadata);
    for (const auto* key : {"reel_name", "tape"})
        for (const auto* tags : places)
            if (const auto written = tag(tags, key); written && !trim(*written).empty())
                return std::string(trim(*written));
    return {};
}

// What one pass over the container tells; the media itself is read only if the index does not say enough.
struct Clocks {
    std::optional<double> zero_s, sound_end_s;
};

Clocks read_clocks(Input& input, AVStream* picture, AVStream* sound, MediaInfo& info) {
    Clocks clocks;
    if (sound) clocks.sound_end_s = indexed_sound_end_s(input, sound);
    if (!picture && clocks.sound_end_s) return clocks;
    if (picture) {
        const auto decoded = indexed_pictures(input, picture);
        const auto rate =
            decoded.empty() ? std::nullopt : constant_rate(decoded, tick_of(picture), stated_rates(picture));
        if (rate && (clocks.sound_end_s || !sound)) {
            keep_constant(*rate, decoded, picture, info);
            clocks.zero_s = first_picture_s(input, picture);
            return clocks;
        }
    }
    const auto found = survey(input, picture, sound);
    if (!clocks.sound_end_s) clocks.sound_end_s = found.sound_end_s;
    if (picture) keep_rate(found, input, picture, info);
    if (!found.shown.empty())
        clocks.zero_s = seconds(found.shown.front(), picture->time_base);
    else if (picture && picture->start_time != AV_NOPTS_VALUE)
        clocks.zero_s = seconds(picture->start_time, picture->time_base);
    return clocks;
}

// A clip whose sound cannot be decoded is a silent clip; a file of sound alone must have some.
Result<void> read_sound(const Clocks& clocks, MediaInfo& info) {
    auto input = open_input(info.path);
    if (!input) return input.error();
    if (!input->sound()) return {};
    const auto sound = open_decoded_sound(std::move(*input), clocks.zero_s);
    if (!sound) return info.has_video ? Result<void>() : sound.error();
    const auto& opened = *sound->source;
    AudioInfo audio{opened.rate_hz(), opened.channels(), opened.first_s(), opened.first_s()};
    if (clocks.sound_end_s) audio.end_s = std::max(audio.first_s, *clocks.sound_end_s - sound->zero_s);
    info.audio = audio;
    if (!info.has_video) info.duration_s = audio.end_s - audio.first_s;
    return {};
}

// Digits with one separator after the first `first` and one after two more, whatever the file has there; nothing if
// that is not the text's form.
std::optional<std::string> with_separators(std::string text, std::size_t first, char separator) {
    if (text.size() != first + 6) return std::nullopt;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (i == first || i == first + 3)
            text[i] = separator;
        else if (text[i] < '0' || text[i] > '9')
            return std::nullopt;
    }
    return text;
}

// The broadcast audio extension of WAVE files (EBU Tech 3285): date and time of day in words of their own, whose
// separators are free, and the first sample's count since midnight.
void read_broadcast_chunk(const AVDictionary* tags, MediaInfo& info) {
    const auto date = tag(tags, "date");
    if (!info.created || !date) return;
    const auto day = with_separators(*date, 4, '-'), time = with_separators(*info.created, 2, ':');
    if (day && time) info.created = *day + "T" + *time; // else it is no time alone
}

// Maker and model as QuickTime metadata has them: as keys, or as user data, which libavformat calls by short
// names (QuickTime File Format, "QuickTime metadata keys" and "User data list entry types").
std::string device_of(const AVDictionary* tags) {
    std::string device;
    for (const auto* part : {"make", "model"}) {
        auto written = tag(tags, part);
        if (!written) written = tag(tags, (std::string("com.apple.quicktime.") + part).c_str());
        if (!written || trim(*written).empty()) continue;
        if (!device.empty()) device += ' ';
        device += trim(*written);
    }
    return device;
}

} // namespace

Result<MediaInfo> probe(const std::string& path, const ProbeOptions& options) {
    const auto bytes = check_file(path);
    if (!bytes) return bytes.error();
    auto id = options.id ? content_id(path) : Result<std::string>(std::string());
    if (!id) return id.error();
    auto input = open_input(path);
    if (!input) return input.error();

    MediaInfo info;
    info.path = path;
    info.name = std::filesystem::path(path).filename().string();
    info.id = *id;
    info.bytes = *bytes;
    info.created = tag(input->format->metadata, "creation_time");
    info.device = device_of(input->format->metadata);
    read_broadcast_chunk(input->format->metadata, info);
    auto* picture = input->picture();
    auto* sound = input->sound();
    if (!picture && !sound)
        return Error{Fault::bad_input, "found neither pictures nor sound in it; leave it out", path};
    if (picture) {
        info.has_video = true;
        info.width = picture->codecpar->width;
        info.height = picture->codecpar->height;
        info.rotation = rotation_of(picture);
        if (!info.created) info.created = tag(picture->metadata, "creation_time");
        if (info.device.empty()) info.device = device_of(picture->metadata);
    }
    const auto clocks = read_clocks(*input, picture, sound, info);
    info.broke_off = input->broke_off();
    if (picture && info.average_fps <= 0)
        return Error{
            Fault::bad_input,
            "its picture track holds no pictures; copy the file again from the card, or leave it out", path};
    if (picture) {
        info.start = start_of(*input, picture, info);
        info.card_reel = reel_of(*input, picture);
    }
    if (const auto read = read_sound(clocks, info); !read) return read.error();
    const auto reference = tag(input->format->metadata, "time_reference");
    if (const auto samples = reference ? parse_integer(*reference) : std::nullopt;
        samples && *samples > 0 && !info.has_video && info.audio)
        info.time_of_day_s = static_cast<double>(*samples) / info.audio->rate_hz;
    return info;
}

} // namespace downball::media
