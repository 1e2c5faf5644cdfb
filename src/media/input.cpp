// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/input.h"

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <fmt/format.h>
#include <string_view>

namespace downball::media {

namespace {

Error bad(const std::string& path, std::string what) {
    return {Fault::bad_input, std::move(what), path};
}

// Formats that point at other files, or hold one picture or plain text.
bool is_no_recording(std::string_view format) {
    constexpr std::array refused{"hls",    "dash", "concat", "image2", "tty", "sdp",
                                 "webvtt", "srt",  "ass",    "lavfi",  "imf", "ffmetadata"};
    return format.ends_with("_pipe") ||
           std::ranges::any_of(refused, [&](std::string_view name) { return format == name; });
}

// Text as it begins: printable, or a blank. No recording does, and the file's ending would else name one.
bool begins_as_text(AVIOContext* io) {
    std::array<unsigned char, 4096> first{};
    const int got = avio_read(io, first.data(), static_cast<int>(first.size()));
    avio_seek(io, 0, SEEK_SET);
    return got > 0 && std::all_of(first.begin(), first.begin() + got, [](unsigned char c) {
               return c >= 0x20 ? c != 0x7F : c == '\t' || c == '\n' || c == '\r' || c == '\f';
           });
}

} // namespace

Result<std::uint64_t> check_file(const std::string& path) {
    namespace fs = std::filesystem;
    std::error_code code;
    const auto status = fs::status(path, code);
    if (status.type() == fs::file_type::not_found)
        return bad(path, "no such file; check the name, or whether the card or disk is mounted");
    if (fs::is_directory(status))
        return bad(path, "found a folder, expected a media file; name a file in it");
    const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(
        fs::is_regular_file(status) ? std::fopen(path.c_str(), "rb") : nullptr, std::fclose);
    if (!file && fs::exists(status) && !fs::is_regular_file(status))
        return bad(path, "found a device or pipe, expected a media file");
    if (!file)
        return bad(path, fmt::format("cannot be read ({}); check its permissions", std::strerror(errno)));
    const auto bytes = fs::file_size(path, code);
    if (code) return bad(path, fmt::format("its size cannot be read ({})", code.message()));
    if (bytes == 0) return bad(path, "the file is empty; copy it again from the card, or leave it out");
    return bytes;
}

AVStream* Input::picture() const {
    for (unsigned i = 0; i < format->nb_streams; ++i) {
        auto* stream = format->streams[i];
        const auto no_clip = AV_DISPOSITION_ATTACHED_PIC | AV_DISPOSITION_TIMED_THUMBNAILS;
        if (stream->codecpar->codec_type == AVMEDIA_TYPE_VIDEO && !(stream->disposition & no_clip))
            return stream;
    }
    return nullptr;
}

AVStream* Input::sound() const {
    AVStream* first = nullptr;
    for (unsigned i = 0; i < format->nb_streams; ++i) {
        auto* stream = format->streams[i];
        if (stream->codecpar->codec_type != AVMEDIA_TYPE_AUDIO) continue;
        if (avcodec_find_decoder(stream->codecpar->codec_id)) return stream;
        if (!first) first = stream;
    }
    return first;
}

void Input::read_only(std::initializer_list<const AVStream*> wanted) {
    for (unsigned i = 0; i < format->nb_streams; ++i)
        if (std::ranges::count(wanted, format->streams[i]) == 0) format->streams[i]->discard = AVDISCARD_ALL;
}

Result<Input> open_input(const std::string& path, Look look) {
    if (auto bytes = check_file(path); !bytes) return bytes.error();
    av_log_set_level(AV_LOG_QUIET);

    Input input;
    input.path = path;
    const auto url = "file:" + path; // a colon in a name must not turn it into an address
    AVIOContext* io = nullptr;
    if (const auto code = avio_open(&io, url.c_str(), AVIO_FLAG_READ); code < 0)
        return bad(path, fmt::format("cannot be opened ({})", ffmpeg_says(code)));
    input.io.reset(io);
    if (begins_as_text(io))
        return bad(path, "holds text, no video or sound, whatever its name says; leave it out, or find the "
                         "recording it was to be");

    const AVInputFormat* kind = nullptr;
    if (const auto code = av_probe_input_buffer2(io, &kind, url.c_str(), nullptr, 0, 0); code < 0)
        return bad(path, fmt::format("its content is no media that can be read ({}); copy it again from the "
                                     "card, or leave it out",
                                     ffmpeg_says(code)));
    if (is_no_recording(kind->name))
        return bad(path, fmt::format("found {}, expected a recording with pictures or sound; leave it out",
                                     kind->long_name ? kind->long_name : kind->name));

    AVFormatContext* format = avformat_alloc_context();
    format->pb = io;
    format->flags |= AVFMT_FLAG_CUSTOM_IO;
    // On failure the context is freed by the call itself.
    if (const auto code = avformat_open_input(&format, url.c_str(), kind, nullptr); code < 0)
        return bad(path, fmt::format("looks like {} but cannot be read ({}); the recording may have been cut "
                                     "off: copy it again from the card, or leave it out",
                                     kind->long_name ? kind->long_name : kind->name, ffmpeg_says(code)));
    input.format.reset(format);
    if (look == Look::header && std::string_view(format->iformat->name).find("mp4") != std::string_view::npos)
        return input;
    if (const auto code = avformat_find_stream_info(format, nullptr); code < 0)
        return bad(path, fmt::format("its tracks cannot be read ({}); copy it again from the card, or leave "
                                     "it out",
                                     ffmpeg_says(code)));
    return input;
}

} // namespace downball::media
