// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "media/packet_losses.h"
#include "media/packet_source.h"

#include <cstdint>
#include <memory>
#include <string>

namespace downball::media {

// Decodes one sound track packet by packet. What a damaged packet held is gone, but not its place: each
// frame says whether something was lost just before it.
class FrameReader {
  public:
    // `source`: none of its sound was taken yet.
    static Result<FrameReader> open(std::shared_ptr<PacketSource> source);

    struct Decoded {
        FramePtr frame = FramePtr(av_frame_alloc());
        bool after_loss = false;
        std::int64_t untimed_ticks = 0; // length of lost packets that had no time of their own
    };
    // False at the end; `after_loss` and `untimed_ticks` are then those of a loss at the end.
    bool next(Decoded& into);

    AVStream* track() const { return track_; }
    bool may_jump() const { return source_->input().may_jump(); }
    bool broke_off() const { return source_->input().broke_off(); }
    // Formats without times of their own: the demuxer counts samples at the rate the file begins with.
    bool times_are_counted() const { return (format().iformat->flags & AVFMT_GENERIC_INDEX) != 0; }
    // Known at the end: in such a file sound was lost, and how much of it nothing tells.
    bool may_run_early() const { return times_are_counted() && (lost_any_ || passed_over_ > 0); }
    const char* codec_name() const { return avcodec_get_name(track_->codecpar->codec_id); }
    // Ticks at which the first lost packet is presented, just after the last one; AV_NOPTS_VALUE if none.
    std::int64_t lost_from() const { return lost_from_; }
    std::int64_t lost_until() const { return lost_until_; }
    PacketLosses& losses() { return losses_; }
    const PacketLosses& losses() const { return losses_; }

  private:
    FrameReader(std::shared_ptr<PacketSource> source, CodecPtr codec);
    const AVFormatContext& format() const { return *source_->input().format; }
    void send_packet();
    void lose(int code, Decoded& before);
    void count_passed_over();

    std::shared_ptr<PacketSource> source_;
    AVStream* track_;
    CodecPtr codec_;
    PacketPtr packet_;
    PacketLosses losses_;
    std::int64_t sent_from_ = AV_NOPTS_VALUE, sent_ticks_ = 0; // what the decoder was given last
    int sent_code_ = 0;
    std::int64_t reached_ = 0; // ticks at the end of the last packet with a time
    std::int64_t lost_from_ = AV_NOPTS_VALUE, lost_until_ = AV_NOPTS_VALUE;
    bool draining_ = false;
    int errors_draining_ = 0;
    bool lost_any_ = false;
    std::int64_t first_byte_ = -1, bytes_ = 0; // of all packets: place of the first, sum
    std::int64_t passed_over_ = 0;             // bytes of a stream of bare packets that are in none of them
};

} // namespace downball::media
