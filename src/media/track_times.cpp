// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/track_times.h"

#include <algorithm>
#include <utility>

extern "C" {
#include <libavutil/intreadwrite.h>
}

namespace downball::media {

namespace {

// A stream cut in the middle of a group of pictures starts with packets nothing can be shown from. If no
// key picture comes within this many, there are none (intra refresh), and all count.
constexpr std::size_t longest_wait_for_key = 600;

// Samples at the end of a packet that are padding of the encoder.
std::int64_t padding_samples(const AVPacket& packet) {
    std::size_t size = 0;
    const auto* data = av_packet_get_side_data(&packet, AV_PKT_DATA_SKIP_SAMPLES, &size);
    return data && size >= 8 ? static_cast<std::int64_t>(AV_RL32(data + 4)) : 0;
}

} // namespace

void PictureTimes::add(const AVPacket& packet) {
    if ((packet.flags & AV_PKT_FLAG_KEY) && !any_key_) {
        if (shown_.size() < longest_wait_for_key) *this = PictureTimes(clock_);
        any_key_ = true;
    }
    const auto jumps = clock_.follow(packet);
    if (packet.flags & AV_PKT_FLAG_DISCARD) return;
    if (packet.pts == AV_NOPTS_VALUE) {
        any_without_ = true;
        return;
    }
    const auto pts = packet.pts - jumps;
    shown_.push_back(pts);
    if (earliest_ == AV_NOPTS_VALUE || pts < earliest_) earliest_ = pts;
    if (latest_ == AV_NOPTS_VALUE || pts > latest_) {
        latest_ = pts;
        last_ticks_ = packet.duration;
    }
}

// None is shown before it is decoded. The last bound is four times the deepest reordering of H.264 and H.265, for
// streams without decoding times.
bool PictureTimes::settled(const AVPacket& packet) const {
    if (!any_key_ && shown_.size() < longest_wait_for_key) return false;
    if (shown_.size() > longest_wait_for_key + 64) return true;
    return earliest_ != AV_NOPTS_VALUE && packet.dts != AV_NOPTS_VALUE &&
           packet.dts - clock_.jumps() >= earliest_;
}

void PictureTimes::move_to(Survey& survey) {
    std::ranges::sort(shown_);
    shown_.erase(std::unique(shown_.begin(), shown_.end()), shown_.end());
    survey.complete = !any_without_ && !shown_.empty();
    survey.shown = std::move(shown_);
    survey.last_ticks = last_ticks_;
}

void SoundEnd::add(const AVPacket& packet) {
    if (packet.pts == AV_NOPTS_VALUE) return;
    const auto pts = packet.pts - clock_.follow(packet);
    const AVRational sample{1, std::max(1, sound_->codecpar->sample_rate)};
    const auto whole = std::max(packet.duration, last_ticks_);
    const auto kept = whole - av_rescale_q(padding_samples(packet), sample, sound_->time_base);
    last_ticks_ = packet.duration;
    const auto end_s = seconds(pts + std::min(packet.duration, kept), sound_->time_base);
    end_s_ = std::max(end_s_.value_or(end_s), end_s);
}

std::optional<double> first_shown_s(const PictureTimes& times, const AVStream* picture) {
    if (times.earliest() != AV_NOPTS_VALUE) return seconds(times.earliest(), picture->time_base);
    if (picture->start_time != AV_NOPTS_VALUE) return seconds(picture->start_time, picture->time_base);
    return std::nullopt;
}

} // namespace downball::media
