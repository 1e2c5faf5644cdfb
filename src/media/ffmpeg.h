// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

// The one private header through which the room sees FFmpeg: every resource closes itself.
extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
#include <libavutil/channel_layout.h>
#include <libswresample/swresample.h>
#include <libswscale/swscale.h>
}

#include <array>
#include <memory>
#include <string>

namespace downball::media {

struct CloseIo {
    void operator()(AVIOContext* io) const { avio_closep(&io); }
};
struct CloseFormat {
    void operator()(AVFormatContext* format) const { avformat_close_input(&format); }
};
struct CloseCodec {
    void operator()(AVCodecContext* codec) const { avcodec_free_context(&codec); }
};
struct ClosePacket {
    void operator()(AVPacket* packet) const { av_packet_free(&packet); }
};
struct CloseFrame {
    void operator()(AVFrame* frame) const { av_frame_free(&frame); }
};
struct CloseSwr {
    void operator()(SwrContext* swr) const { swr_free(&swr); }
};
struct CloseSws {
    void operator()(SwsContext* sws) const { sws_freeContext(sws); }
};

using IoPtr = std::unique_ptr<AVIOContext, CloseIo>;
using FormatPtr = std::unique_ptr<AVFormatContext, CloseFormat>;
using CodecPtr = std::unique_ptr<AVCodecContext, CloseCodec>;
using PacketPtr = std::unique_ptr<AVPacket, ClosePacket>;
using FramePtr = std::unique_ptr<AVFrame, CloseFrame>;
using SwrPtr = std::unique_ptr<SwrContext, CloseSwr>;
using SwsPtr = std::unique_ptr<SwsContext, CloseSws>;

// A channel layout of our own, copied where it is taken from a frame.
class Layout {
  public:
    Layout() = default;
    explicit Layout(const AVChannelLayout& other) { av_channel_layout_copy(&value_, &other); }
    Layout(const Layout& other) : Layout(other.value_) {}
    Layout& operator=(const Layout& other) {
        if (this != &other) av_channel_layout_copy(&value_, &other.value_);
        return *this;
    }
    ~Layout() { av_channel_layout_uninit(&value_); }

    const AVChannelLayout& get() const { return value_; }
    AVChannelLayout* get() { return &value_; }
    bool same_as(const AVChannelLayout& other) const {
        return av_channel_layout_compare(&value_, &other) == 0;
    }

  private:
    AVChannelLayout value_{};
};

inline std::string ffmpeg_says(int code) {
    std::array<char, AV_ERROR_MAX_STRING_SIZE> text{};
    // Some decoders answer with numbers of their own, which have no text.
    return av_strerror(code, text.data(), text.size()) == 0 ? text.data() : "damaged data";
}

inline double seconds(std::int64_t ticks, AVRational base) {
    return static_cast<double>(ticks) * base.num / base.den;
}

} // namespace downball::media
