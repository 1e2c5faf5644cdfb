// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/movie_sound.h"

#include "downball/media/movie_writer.h"

#include <fmt/format.h>

extern "C" {
#include <libavutil/opt.h>
}

namespace downball::media {

namespace {

constexpr int bits_s = 192000;

} // namespace

Result<CodecPtr> open_sound_encoder() {
    const auto* encoder = avcodec_find_encoder(AV_CODEC_ID_AAC);
    if (!encoder)
        return Error{Fault::internal,
                     "this FFmpeg has no AAC encoder, which movies need; install one that has", ""};
    CodecPtr codec(avcodec_alloc_context3(encoder));
    codec->sample_rate = movie_hz;
    codec->sample_fmt = AV_SAMPLE_FMT_FLTP;
    codec->time_base = {1, movie_hz};
    codec->bit_rate = bits_s;
    av_channel_layout_default(&codec->ch_layout, 2);
    // The better and much quicker of its two ways at rates above some 64 kbit/s, by FFmpeg's manual of its encoders.
    av_opt_set(codec->priv_data, "aac_coder", "fast", 0);
    codec->flags |= AV_CODEC_FLAG_GLOBAL_HEADER | AV_CODEC_FLAG_BITEXACT;
    if (const auto code = avcodec_open2(codec.get(), encoder, nullptr); code < 0)
        return Error{Fault::internal, fmt::format("no AAC can be made ({})", ffmpeg_says(code)), ""};
    return codec;
}

FramePtr sound_frame(const AVCodecContext& encoder, std::size_t samples, std::int64_t at) {
    FramePtr frame(av_frame_alloc());
    if (!frame) return nullptr;
    frame->format = encoder.sample_fmt;
    frame->sample_rate = encoder.sample_rate;
    frame->nb_samples = static_cast<int>(samples);
    frame->pts = at;
    if (av_channel_layout_copy(&frame->ch_layout, &encoder.ch_layout) < 0 ||
        av_frame_get_buffer(frame.get(), 0) < 0)
        return nullptr;
    return frame;
}

} // namespace downball::media
