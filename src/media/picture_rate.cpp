// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/picture_rate.h"

#include "media/frame_rate.h"

#include <algorithm>

namespace downball::media {

namespace {

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

} // namespace

void keep_rate(const Survey& found, const Input& input, const AVStream* picture, MediaInfo& info) {
    const auto stated = stated_rates(picture);
    if (!found.complete && !stated.empty()) {
        // Without a time for each picture the container's word is all there is.
        const auto whole = std::max<std::int64_t>(0, input.format->duration);
        const auto length = picture->duration > 0 ? seconds(picture->duration, picture->time_base)
                                                  : seconds(whole, AV_TIME_BASE_Q);
        return keep_constant(stated.front(), length, info);
    }
    if (const auto rate = constant_rate(found.shown, tick_of(picture), stated))
        return keep_constant(*rate, found.shown, picture, info);
    if (found.shown.empty()) return;

    info.variable_rate = true;
    info.average_fps = mean_rate(found.shown, tick_of(picture));
    info.frames.shown_s.reserve(found.shown.size());
    for (const auto at : found.shown)
        info.frames.shown_s.push_back(seconds(at - found.shown.front(), picture->time_base));
    info.duration_s = info.frames.shown_s.back() + last_picture_s(found, picture, info);
}

bool keep_indexed_rate(const Input& input, const AVStream* picture, MediaInfo& info) {
    const auto decoded = indexed_pictures(input, picture);
    if (decoded.empty()) return false;
    const auto rate = constant_rate(decoded, tick_of(picture), stated_rates(picture));
    if (rate) keep_constant(*rate, decoded, picture, info);
    return rate.has_value();
}

} // namespace downball::media
