// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/file_tags.h"

#include "media/frame_rate.h"
#include "media/start_label.h"

#include "downball/base/text.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace downball::media {

namespace {

std::optional<std::string> tag(const AVDictionary* tags, const char* key) {
    const auto* entry = av_dict_get(tags, key, nullptr, 0);
    return entry && *entry->value ? std::optional<std::string>(entry->value) : std::nullopt;
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

void read_tags(const Input& input, const AVStream* picture, MediaInfo& info) {
    const auto* tags = input.format->metadata;
    info.created = tag(tags, "creation_time");
    info.device = device_of(tags);
    read_broadcast_chunk(tags, info);
    if (!picture) return;
    if (!info.created) info.created = tag(picture->metadata, "creation_time");
    if (info.device.empty()) info.device = device_of(picture->metadata);
}

void read_start(const Input& input, const AVStream* picture, MediaInfo& info) {
    info.start = start_of(input, picture, info);
    info.card_reel = reel_of(input, picture);
}

void read_time_of_day(const Input& input, MediaInfo& info) {
    if (info.has_video || !info.audio) return;
    const auto reference = tag(input.format->metadata, "time_reference");
    const auto samples = reference ? parse_integer(*reference) : std::nullopt;
    if (samples && *samples > 0) info.time_of_day_s = static_cast<double>(*samples) / info.audio->rate_hz;
}

} // namespace downball::media
