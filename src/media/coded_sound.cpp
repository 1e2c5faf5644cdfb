// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/media/coded_sound.h"

#include "media/movie_sound.h"

#include <algorithm>
#include <array>
#include <cstring>
#include <fmt/format.h>

namespace downball::media {

namespace {

using Hear = std::function<void(const dsp::PlanarBlock&)>;

// An encoder and a decoder, back to back.
class RoundTrip {
  public:
    RoundTrip(CodecPtr encoder, std::size_t samples, const Hear& hear)
        : encoder_(std::move(encoder)), left_(samples), hear_(hear) {}

    int open() {
        const auto* decoder = avcodec_find_decoder(encoder_->codec_id);
        if (!decoder) return AVERROR_DECODER_NOT_FOUND;
        decoder_.reset(avcodec_alloc_context3(decoder));
        const std::unique_ptr<AVCodecParameters, void (*)(AVCodecParameters*)> form(
            avcodec_parameters_alloc(), [](AVCodecParameters* it) { avcodec_parameters_free(&it); });
        const auto code = avcodec_parameters_from_context(form.get(), encoder_.get());
        if (code < 0) return code;
        delay_ = static_cast<std::size_t>(encoder_->initial_padding);
        const auto copied = avcodec_parameters_to_context(decoder_.get(), form.get());
        return copied < 0 ? copied : avcodec_open2(decoder_.get(), decoder, nullptr);
    }
    // Null flushes.
    int push(const AVFrame* frame) {
        auto code = avcodec_send_frame(encoder_.get(), frame);
        while (code >= 0) {
            code = avcodec_receive_packet(encoder_.get(), packet_.get());
            if (code == AVERROR_EOF) return decode(nullptr);
            if (code == AVERROR(EAGAIN)) return 0;
            if (code >= 0) code = decode(packet_.get());
            av_packet_unref(packet_.get());
        }
        return code;
    }

  private:
    int decode(const AVPacket* packet) {
        auto code = avcodec_send_packet(decoder_.get(), packet);
        while (code >= 0) {
            code = avcodec_receive_frame(decoder_.get(), decoded_.get());
            if (code == AVERROR_EOF || code == AVERROR(EAGAIN)) return 0;
            if (code >= 0) hand_on();
        }
        return code;
    }
    void hand_on() {
        const auto made = static_cast<std::size_t>(decoded_->nb_samples);
        const auto from = std::min(made, delay_);
        delay_ -= from;
        const auto samples = std::min(made - from, left_);
        left_ -= samples;
        const std::array<const float*, 2> channels{reinterpret_cast<const float*>(decoded_->data[0]) + from,
                                                   reinterpret_cast<const float*>(decoded_->data[1]) + from};
        if (samples > 0) hear_({channels, samples});
    }

    CodecPtr encoder_, decoder_;
    PacketPtr packet_{av_packet_alloc()};
    FramePtr decoded_{av_frame_alloc()};
    std::size_t delay_ = 0, left_;
    const Hear& hear_;
};

} // namespace

Result<void> hear_coded(const dsp::PlanarBlock& sound, const Hear& hear) {
    auto encoder = open_sound_encoder();
    if (!encoder) return encoder.error();
    const auto& form = **encoder;
    const auto frame_size = static_cast<std::size_t>(form.frame_size);
    RoundTrip trip(std::move(*encoder), sound.frames, hear);
    auto code = trip.open();
    for (std::size_t at = 0; code >= 0 && at < sound.frames; at += frame_size) {
        const auto samples = std::min(frame_size, sound.frames - at);
        const auto frame = sound_frame(form, samples, static_cast<std::int64_t>(at));
        for (std::size_t c = 0; frame && c < 2; ++c)
            std::memcpy(frame->data[c], sound.channels[c] + at, samples * sizeof(float));
        code = frame ? trip.push(frame.get()) : AVERROR(ENOMEM);
    }
    if (code >= 0) code = trip.push(nullptr);
    if (code < 0)
        return Error{Fault::internal, fmt::format("coding sound failed ({})", ffmpeg_says(code)), ""};
    return {};
}

} // namespace downball::media
