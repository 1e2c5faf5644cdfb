// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/survey.h"

#include "media/track_times.h"

#include <string_view>

namespace downball::media {

namespace {

bool indexed(const Input& input) {
    return std::string_view(input.format->iformat->name).find("mp4") != std::string_view::npos;
}

} // namespace

std::optional<double> first_picture_s(Input& input, AVStream* picture) {
    PictureTimes times(steady_clock(input, picture));
    input.read_only({picture});
    const PacketPtr packet(av_packet_alloc());
    bool enough = false;
    while (!enough && av_read_frame(input.format.get(), packet.get()) >= 0) {
        if (packet->stream_index == picture->index) {
            times.add(*packet);
            enough = times.settled(*packet);
        }
        av_packet_unref(packet.get());
    }
    return first_shown_s(times, picture);
}

std::vector<std::int64_t> indexed_pictures(const Input& input, const AVStream* picture) {
    std::vector<std::int64_t> decoded;
    // The index is the library's, which only a changeable stream gives out.
    auto* track = input.format->streams[picture->index];
    const auto count = avformat_index_get_entries_count(track);
    if (!indexed(input) || track->nb_frames <= 0 || count != track->nb_frames) return decoded;
    decoded.reserve(static_cast<std::size_t>(count));
    for (int i = 0; i < count; ++i) {
        const auto* entry = avformat_index_get_entry(track, i);
        if (!(entry->flags & AVINDEX_DISCARD_FRAME)) decoded.push_back(entry->timestamp);
    }
    return decoded;
}

std::optional<double> indexed_sound_end_s(const Input& input, const AVStream* sound) {
    if (!indexed(input) || sound->nb_frames <= 0) return std::nullopt;
    if (sound->start_time == AV_NOPTS_VALUE || sound->duration == AV_NOPTS_VALUE) return std::nullopt;
    return seconds(sound->start_time + sound->duration, sound->time_base);
}

} // namespace downball::media
