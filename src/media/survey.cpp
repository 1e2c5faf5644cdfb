// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/survey.h"

#include "media/steady_clock.h"

#include <algorithm>
#include <string_view>

extern "C" {
#include <libavutil/intreadwrite.h>
}

namespace downball::media {

namespace {

// A stream cut in the middle of a group of pictures starts with packets nothing can be shown from. If no
// key picture comes within this many, there are none (intra refresh), and all count.
constexpr std::size_t longest_wait_for_key = 600;

class PictureTimes {
  public:
    explicit PictureTimes(SteadyClock clock) : clock_(clock) {}

    void add(const AVPacket& packet) {
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

    // True once no later packet can be shown earlier: none is shown before it is decoded. The last bound is
    // four times the deepest reordering of H.264 and H.265, for streams without decoding times.
    bool settled(const AVPacket& packet) const {
        if (!any_key_ && shown_.size() < longest_wait_for_key) return false;
        if (shown_.size() > longest_wait_for_key + 64) return true;
        return earliest_ != AV_NOPTS_VALUE && packet.dts != AV_NOPTS_VALUE &&
               packet.dts - clock_.jumps() >= earliest_;
    }
    std::int64_t earliest() const { return earliest_; }

    void move_to(Survey& survey) {
        std::ranges::sort(shown_);
        shown_.erase(std::unique(shown_.begin(), shown_.end()), shown_.end());
        survey.complete = !any_without_ && !shown_.empty();
        survey.shown = std::move(shown_);
        survey.last_ticks = last_ticks_;
    }

  private:
    SteadyClock clock_;
    std::vector<std::int64_t> shown_;
    std::int64_t earliest_ = AV_NOPTS_VALUE, latest_ = AV_NOPTS_VALUE, last_ticks_ = 0;
    bool any_key_ = false, any_without_ = false;
};

// Samples at the end of a packet that are padding of the encoder.
std::int64_t padding_samples(const AVPacket& packet) {
    std::size_t size = 0;
    const auto* data = av_packet_get_side_data(&packet, AV_PKT_DATA_SKIP_SAMPLES, &size);
    return data && size >= 8 ? static_cast<std::int64_t>(AV_RL32(data + 4)) : 0;
}

// Where sound ends by its packets. Some demuxers shorten the last packet's duration by the padding they
// also state, others do not; the packet before it tells how long a whole one is.
class SoundEnd {
  public:
    SoundEnd(const AVStream* sound, SteadyClock clock) : sound_(sound), clock_(clock) {}

    void add(const AVPacket& packet) {
        if (packet.pts == AV_NOPTS_VALUE) return;
        const auto pts = packet.pts - clock_.follow(packet);
        const AVRational sample{1, std::max(1, sound_->codecpar->sample_rate)};
        const auto whole = std::max(packet.duration, last_ticks_);
        const auto kept = whole - av_rescale_q(padding_samples(packet), sample, sound_->time_base);
        last_ticks_ = packet.duration;
        const auto end_s = seconds(pts + std::min(packet.duration, kept), sound_->time_base);
        end_s_ = std::max(end_s_.value_or(end_s), end_s);
    }
    std::optional<double> end_s() const { return end_s_; }

  private:
    const AVStream* sound_;
    SteadyClock clock_;
    std::int64_t last_ticks_ = 0;
    std::optional<double> end_s_;
};

// Hands out the packets of the two tracks until `use` says it has had enough.
template <class Use>
void each_packet(Input& input, const AVStream* picture, const AVStream* sound, Use use) {
    input.read_only({picture, sound});
    const PacketPtr packet(av_packet_alloc());
    bool enough = false;
    while (!enough && av_read_frame(input.format.get(), packet.get()) >= 0) {
        const auto* track = input.format->streams[packet->stream_index];
        if (track == picture || track == sound) enough = use(*packet, track);
        av_packet_unref(packet.get());
    }
}

bool indexed(const Input& input) {
    return std::string_view(input.format->iformat->name).find("mp4") != std::string_view::npos;
}

} // namespace

Survey survey(Input& input, AVStream* picture, AVStream* sound) {
    Survey result;
    PictureTimes times(steady_clock(input, picture));
    SoundEnd end(sound, steady_clock(input, sound));
    each_packet(input, picture, sound, [&](const AVPacket& packet, const AVStream* track) {
        track == picture ? times.add(packet) : end.add(packet);
        return false;
    });
    result.sound_end_s = end.end_s();
    times.move_to(result);
    return result;
}

std::optional<double> first_picture_s(Input& input, AVStream* picture) {
    PictureTimes times(steady_clock(input, picture));
    each_packet(input, picture, nullptr, [&](const AVPacket& packet, const AVStream*) {
        times.add(packet);
        return times.settled(packet);
    });
    if (times.earliest() != AV_NOPTS_VALUE) return seconds(times.earliest(), picture->time_base);
    if (picture->start_time != AV_NOPTS_VALUE) return seconds(picture->start_time, picture->time_base);
    return std::nullopt;
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
