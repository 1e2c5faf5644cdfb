// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/packet_source.h"

#include <utility>

namespace downball::media {

namespace {

// A track of one single picture is looked through to its end; its sound may be hours long.
constexpr std::size_t most_waiting_bytes = 16 << 20;

} // namespace

PacketSource::PacketSource(Input input)
    : input_(std::move(input)), picture_(input_.picture()), sound_(input_.sound()),
      times_(steady_clock(input_, picture_)), end_(sound_, steady_clock(input_, sound_)) {
    input_.read_only({picture_, sound_});
}

int PacketSource::read(AVPacket& into) {
    for (;;) {
        if (ended_ == 0) {
            const auto code = av_read_frame(input_.format.get(), &into);
            ended_ = code < 0 ? code : 0;
        }
        if (ended_ != 0) return ended_;
        if (sound_ && into.stream_index == sound_->index) {
            end_.add(into);
            return 0;
        }
        if (picture_ && into.stream_index == picture_->index && picture_->discard != AVDISCARD_ALL) {
            times_.add(into);
            return 0;
        }
        av_packet_unref(&into);
    }
}

void PacketSource::keep(AVPacket& packet) {
    if (sound_dropped_) return;
    waiting_bytes_ += static_cast<std::size_t>(packet.size);
    sound_dropped_ = waiting_bytes_ > most_waiting_bytes;
    if (sound_dropped_) return waiting_.clear();
    waiting_.emplace_back(av_packet_alloc());
    av_packet_move_ref(waiting_.back().get(), &packet);
}

std::optional<double> PacketSource::look_for_first_picture() {
    const PacketPtr packet(av_packet_alloc());
    bool enough = false;
    while (!enough && read(*packet) == 0) {
        if (packet->stream_index == picture_->index)
            enough = times_.settled(*packet);
        else
            keep(*packet);
        av_packet_unref(packet.get());
    }
    return first_shown_s(times_, picture_);
}

void PacketSource::pass_over_pictures() {
    input_.read_only({sound_});
}

int PacketSource::next(AVPacket& into) {
    if (!waiting_.empty()) {
        av_packet_move_ref(&into, waiting_.front().get());
        waiting_.pop_front();
        return 0;
    }
    for (;;) {
        const auto code = read(into);
        if (code < 0 || into.stream_index == sound_->index) return code;
        av_packet_unref(&into);
    }
}

Survey PacketSource::survey() {
    const PacketPtr packet(av_packet_alloc());
    while (read(*packet) == 0)
        av_packet_unref(packet.get());
    Survey survey;
    survey.sound_end_s = end_.end_s();
    times_.move_to(survey);
    return survey;
}

Result<std::shared_ptr<PacketSource>> whole_sound(std::shared_ptr<PacketSource> source) {
    if (source->keeps_sound()) return source;
    auto input = open_input(source->input().path);
    if (!input) return input.error();
    source = std::make_shared<PacketSource>(std::move(*input));
    source->pass_over_pictures();
    return source;
}

} // namespace downball::media
