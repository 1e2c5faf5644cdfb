// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/media/jpeg.h"

#include "media/convert_picture.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace downball::media {

namespace {

// Steps of quantisation, relative to the tables of the standard's annex K, that FFmpeg takes: 1 finest, 31 coarsest.
int step_of(int quality) {
    return static_cast<int>(std::lround(31 - (std::clamp(quality, 1, 100) - 1) * 29 / 99.0));
}

Error no_jpeg(const std::string& why) {
    return {Fault::internal, fmt::format("no JPEG can be made ({})", why), ""};
}

} // namespace

Result<std::string> to_jpeg(const Picture& picture, int quality) {
    av_log_set_level(AV_LOG_QUIET);
    const auto* encoder = avcodec_find_encoder(AV_CODEC_ID_MJPEG);
    if (!encoder) return no_jpeg("this FFmpeg has no encoder for it; install one that has");
    const CodecPtr codec(avcodec_alloc_context3(encoder));
    const PacketPtr packet(av_packet_alloc());
    const auto frame = convert_picture(picture, AV_PIX_FMT_YUVJ420P);
    if (!codec || !packet || !frame) return no_jpeg("no memory");
    auto& c = *codec;
    c.width = picture.width;
    c.height = picture.height;
    c.pix_fmt = AV_PIX_FMT_YUVJ420P;
    c.color_range = AVCOL_RANGE_JPEG;
    c.time_base = {1, 25};
    c.sample_aspect_ratio = {1, 1};
    c.thread_count = 1;
    c.flags |= AV_CODEC_FLAG_QSCALE | AV_CODEC_FLAG_BITEXACT;
    c.global_quality = frame->quality = step_of(quality) * FF_QP2LAMBDA;
    frame->pts = 0;
    auto code = avcodec_open2(&c, encoder, nullptr);
    if (code >= 0) code = avcodec_send_frame(&c, frame.get());
    if (code >= 0) code = avcodec_send_frame(&c, nullptr);
    if (code >= 0) code = avcodec_receive_packet(&c, packet.get());
    if (code < 0) return no_jpeg(ffmpeg_says(code));
    return std::string(packet->data, packet->data + packet->size);
}

} // namespace downball::media
