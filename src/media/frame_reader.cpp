// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/frame_reader.h"

#include <algorithm>
#include <fmt/format.h>
#include <string_view>

extern "C" {
#include <libavutil/intreadwrite.h>
}

namespace downball::media {

namespace {

// Decoder delay a packet says to drop before it is presented.
std::int64_t skipped_samples(const AVPacket& packet) {
    std::size_t size = 0;
    const auto* data = av_packet_get_side_data(&packet, AV_PKT_DATA_SKIP_SAMPLES, &size);
    return data && size >= 4 ? static_cast<std::int64_t>(AV_RL32(data)) : 0;
}

} // namespace

FrameReader::FrameReader(std::shared_ptr<PacketSource> source, CodecPtr codec)
    : source_(std::move(source)), track_(source_->sound()), codec_(std::move(codec)),
      packet_(av_packet_alloc()) {}

Result<FrameReader> FrameReader::open(std::shared_ptr<PacketSource> source) {
    const auto bad = [path = source->input().path](std::string what) {
        return Error{Fault::bad_input, std::move(what), path};
    };
    const auto* track = source->sound();
    if (!track)
        return bad("the file has no sound; choose one with a sound track, or mark its contacts by eye");
    const auto* decoder = avcodec_find_decoder(track->codecpar->codec_id);
    const auto* name = avcodec_get_name(track->codecpar->codec_id);
    if (!decoder)
        return bad(
            fmt::format("its sound is {}, which cannot be decoded here; convert it to AAC or WAV", name));
    CodecPtr codec(avcodec_alloc_context3(decoder));
    auto code = avcodec_parameters_to_context(codec.get(), track->codecpar);
    codec->pkt_timebase = track->time_base; // without it, dropped decoder delay would not move the times
    codec->thread_count = 1;
    if (code >= 0) code = avcodec_open2(codec.get(), decoder, nullptr);
    if (code < 0)
        return bad(fmt::format("its sound ({}) cannot be decoded ({}); copy the file again from the card",
                               name, ffmpeg_says(code)));
    return FrameReader(std::move(source), std::move(codec));
}

void FrameReader::send_packet() {
    for (;;) {
        const auto code = source_->next(*packet_);
        if (code < 0) {
            if (code != AVERROR_EOF)
                losses_.note(
                    fmt::format("reading stopped before the end of the file ({})", ffmpeg_says(code)));
            avcodec_send_packet(codec_.get(), nullptr);
            draining_ = true;
            count_passed_over();
            return;
        }
        if (first_byte_ < 0) first_byte_ = packet_->pos;
        bytes_ += packet_->size;
        // An empty packet would tell the decoder that the stream has ended.
        if (packet_->size > 0) break;
        av_packet_unref(packet_.get());
    }
    const auto skip =
        av_rescale_q(skipped_samples(*packet_), {1, std::max(1, codec_->sample_rate)}, track_->time_base);
    sent_from_ = packet_->pts;
    sent_ticks_ = std::max<std::int64_t>(0, packet_->duration - skip);
    if (sent_from_ != AV_NOPTS_VALUE) {
        sent_from_ += skip;
        reached_ = sent_from_ + sent_ticks_;
    }
    sent_code_ = avcodec_send_packet(codec_.get(), packet_.get());
    av_packet_unref(packet_.get());
}

// A stream of bare AAC packets is searched for the next packet without a word where its bytes are damaged.
void FrameReader::count_passed_over() {
    constexpr std::int64_t tag_bytes = 128; // ID3v1, at the very end
    if (std::string_view(format().iformat->name) != "aac" || first_byte_ < 0) return;
    const auto passed_over = avio_size(format().pb) - first_byte_ - bytes_;
    if (passed_over > tag_bytes) passed_over_ = passed_over;
}

void FrameReader::lose(int code, Decoded& before) {
    before.after_loss = true;
    lost_any_ = true;
    auto from = reached_;
    if (sent_from_ != AV_NOPTS_VALUE) {
        from = sent_from_;
        if (lost_from_ == AV_NOPTS_VALUE) lost_from_ = from;
        lost_until_ = std::max(lost_until_, from + sent_ticks_);
    } else {
        before.untimed_ticks += sent_ticks_;
    }
    losses_.add(seconds(from, track_->time_base), seconds(from + sent_ticks_, track_->time_base),
                ffmpeg_says(code));
}

bool FrameReader::next(Decoded& into) {
    into.after_loss = false;
    into.untimed_ticks = 0;
    for (;;) {
        const auto& frame = *into.frame;
        const auto code = avcodec_receive_frame(codec_.get(), into.frame.get());
        if (code == AVERROR_EOF) return false;
        if (code == 0) {
            if (frame.nb_samples > 0 && frame.sample_rate > 0 && frame.ch_layout.nb_channels > 0) return true;
        } else if (code != AVERROR(EAGAIN)) {
            if (draining_ && ++errors_draining_ > 16) return false;
            lose(code, into);
        } else if (draining_) {
            return false;
        } else {
            send_packet();
            if (!draining_ && sent_code_ < 0) lose(sent_code_, into);
        }
    }
}

} // namespace downball::media
