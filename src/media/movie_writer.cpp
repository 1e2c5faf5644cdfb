// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/media/movie_writer.h"

#include "media/movie_sound.h"

#include <algorithm>
#include <cerrno>
#include <cmath>
#include <cstring>
#include <fcntl.h>
#include <filesystem>
#include <fmt/format.h>
#include <unistd.h>
#include <vector>

extern "C" {
#include <libavutil/opt.h>
}

namespace downball::media {

namespace {

// Fixed, since the encoder's choices depend on their number.
constexpr int picture_threads = 4;

struct CloseOutput {
    void operator()(AVFormatContext* format) const {
        avio_closep(&format->pb);
        avformat_free_context(format);
    }
};

// 0, or the errno of what went wrong.
int bring_to_disk(const std::string& path) {
    const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
    if (file < 0) return errno;
    const int problem = ::fsync(file) < 0 && errno != EINVAL ? errno : 0; // of a place that cannot: EINVAL
    ::close(file);
    return problem;
}

AVRational as_rational(Fraction value) {
    return {static_cast<int>(value.num()), static_cast<int>(value.den())};
}

} // namespace

struct MovieWriter::State {
    std::string path, temporary;
    std::unique_ptr<AVFormatContext, CloseOutput> format;
    CodecPtr pictures, sounds;
    AVStream *picture_track = nullptr, *sound_track = nullptr;
    PacketPtr packet{av_packet_alloc()};
    FramePtr picture{av_frame_alloc()};
    std::vector<float> held[2]; // less than a frame of the encoder
    std::int64_t picture_count = 0, sample_count = 0;
    bool whole = false;

    State() = default;
    State(const State&) = delete;
    State& operator=(const State&) = delete;
    ~State() {
        format.reset();
        if (!whole && !temporary.empty()) ::unlink(temporary.c_str());
    }

    Error cannot_write(int code) const {
        return {Fault::cannot_write,
                fmt::format("cannot write this movie ({}); is the disk full, or is there no right to write?",
                            ffmpeg_says(code)),
                path};
    }
    Result<void> open_pictures(const MovieForm& form);
    Result<void> open_file();
    Result<void> encode(AVCodecContext* codec, const AVFrame* frame, const AVStream* track);
    Result<void> send_sound(std::size_t samples);
};

Result<void> MovieWriter::State::open_pictures(const MovieForm& form) {
    const auto* encoder = avcodec_find_encoder_by_name("libx264");
    if (!encoder)
        return Error{Fault::internal,
                     "this FFmpeg has no libx264, which the movie needs; install one that has", path};
    pictures.reset(avcodec_alloc_context3(encoder));
    auto& c = *pictures;
    c.width = form.width;
    c.height = form.height;
    c.pix_fmt = AV_PIX_FMT_YUV420P;
    c.framerate = as_rational(form.rate.value());
    c.time_base = av_inv_q(c.framerate);
    c.sample_aspect_ratio = {1, 1};
    c.color_range = AVCOL_RANGE_MPEG;
    c.colorspace = AVCOL_SPC_BT709;
    c.color_primaries = AVCOL_PRI_BT709;
    c.color_trc = AVCOL_TRC_BT709;
    c.gop_size = std::max(1, static_cast<int>(std::lround(form.rate.per_second())));
    c.thread_count = picture_threads;
    c.flags |= AV_CODEC_FLAG_GLOBAL_HEADER | AV_CODEC_FLAG_CLOSED_GOP | AV_CODEC_FLAG_BITEXACT;
    av_opt_set(c.priv_data, "preset", "superfast", 0);
    av_opt_set(c.priv_data, "crf", "23", 0);
    if (const auto code = avcodec_open2(&c, encoder, nullptr); code < 0)
        return Error{Fault::internal,
                     fmt::format("no H.264 of {} x {} at {} can be made ({})", form.width, form.height,
                                 to_string(form.rate), ffmpeg_says(code)),
                     path};
    picture->format = c.pix_fmt;
    picture->width = c.width;
    picture->height = c.height;
    return {};
}

Result<void> MovieWriter::State::open_file() {
    // The index is moved to the front at the end, for which the file is opened again: so it needs a name.
    const auto url = "file:" + temporary;
    AVFormatContext* made = nullptr;
    if (const auto code = avformat_alloc_output_context2(&made, nullptr, "mp4", url.c_str()); code < 0)
        return cannot_write(code);
    format.reset(made);
    made->flags |= AVFMT_FLAG_BITEXACT;
    // Packets wait for those of the other track however far it is behind, and go to the file by their times.
    made->max_interleave_delta = 0;
    for (auto [codec, track] :
         {std::pair{pictures.get(), &picture_track}, std::pair{sounds.get(), &sound_track}}) {
        *track = avformat_new_stream(made, nullptr);
        if (!*track) return cannot_write(AVERROR(ENOMEM));
        (*track)->time_base = codec->time_base;
        if (const auto code = avcodec_parameters_from_context((*track)->codecpar, codec); code < 0)
            return cannot_write(code);
    }
    picture_track->avg_frame_rate = pictures->framerate;
    if (const auto code = avio_open(&made->pb, url.c_str(), AVIO_FLAG_WRITE); code < 0)
        return cannot_write(code);
    AVDictionary* options = nullptr;
    av_dict_set(&options, "movflags", "+faststart", 0);
    const auto code = avformat_write_header(made, &options);
    av_dict_free(&options);
    return code < 0 ? Result<void>(cannot_write(code)) : Result<void>();
}

// Null flushes.
Result<void> MovieWriter::State::encode(AVCodecContext* codec, const AVFrame* frame, const AVStream* track) {
    auto code = avcodec_send_frame(codec, frame);
    while (code >= 0) {
        code = avcodec_receive_packet(codec, packet.get());
        if (code == AVERROR(EAGAIN) || code == AVERROR_EOF) return {};
        if (code < 0) break;
        if (packet->duration == 0 && codec == pictures.get()) packet->duration = 1;
        packet->stream_index = track->index;
        av_packet_rescale_ts(packet.get(), codec->time_base, track->time_base);
        if (const auto written = av_interleaved_write_frame(format.get(), packet.get()); written < 0)
            return cannot_write(written);
    }
    return Error{Fault::internal, fmt::format("encoding failed ({})", ffmpeg_says(code)), path};
}

Result<void> MovieWriter::State::send_sound(std::size_t samples) {
    const auto frame = sound_frame(*sounds, samples, sample_count);
    if (!frame) return cannot_write(AVERROR(ENOMEM));
    sample_count += frame->nb_samples;
    for (int channel = 0; channel < 2; ++channel) {
        auto& from = held[channel];
        std::memcpy(frame->data[channel], from.data(), samples * sizeof(float));
        from.erase(from.begin(), from.begin() + static_cast<std::ptrdiff_t>(samples));
    }
    return encode(sounds.get(), frame.get(), sound_track);
}

Result<MovieWriter> MovieWriter::create(const std::string& path, const MovieForm& form) {
    av_log_set_level(AV_LOG_QUIET);
    auto state = std::make_unique<State>();
    const std::filesystem::path place(path);
    state->path = path;
    // The process id keeps two runs from writing into each other's file.
    state->temporary =
        (place.parent_path() / fmt::format(".{}.{}.movie", place.filename().string(), ::getpid())).string();
    if (auto opened = state->open_pictures(form); !opened) return opened.error();
    auto sounds = open_sound_encoder();
    if (!sounds) return Error{sounds.error().fault, sounds.error().what, path};
    state->sounds = std::move(*sounds);
    if (auto opened = state->open_file(); !opened) return opened.error();
    return MovieWriter(std::move(state));
}

MovieWriter::MovieWriter(std::unique_ptr<State> state) : state_(std::move(state)) {}
MovieWriter::MovieWriter(MovieWriter&&) noexcept = default;
MovieWriter& MovieWriter::operator=(MovieWriter&&) noexcept = default;
MovieWriter::~MovieWriter() = default;

Result<void> MovieWriter::add(Picture& picture) {
    State& s = *state_;
    // The encoder copies what it is given, as it has no reference to keep.
    for (int p = 0; p < 3; ++p) {
        const auto plane = picture.plane(p);
        s.picture->data[p] = plane.data;
        s.picture->linesize[p] = plane.width;
    }
    s.picture->pts = s.picture_count++;
    return s.encode(s.pictures.get(), s.picture.get(), s.picture_track);
}

Result<void> MovieWriter::add(const dsp::PlanarBlock& block) {
    State& s = *state_;
    for (std::size_t channel = 0; channel < 2; ++channel)
        s.held[channel].insert(s.held[channel].end(), block.channels[channel],
                               block.channels[channel] + block.frames);
    const auto frame = static_cast<std::size_t>(s.sounds->frame_size);
    while (s.held[0].size() >= frame)
        if (auto sent = s.send_sound(frame); !sent) return sent;
    return {};
}

Result<void> MovieWriter::finish() {
    State& s = *state_;
    if (!s.held[0].empty())
        if (auto sent = s.send_sound(s.held[0].size()); !sent) return sent;
    if (auto done = s.encode(s.sounds.get(), nullptr, s.sound_track); !done) return done;
    if (auto done = s.encode(s.pictures.get(), nullptr, s.picture_track); !done) return done;
    if (const auto code = av_write_trailer(s.format.get()); code < 0) return s.cannot_write(code);
    if (const auto code = avio_closep(&s.format->pb); code < 0) return s.cannot_write(code);
    s.format.reset();
    if (const int problem = bring_to_disk(s.temporary)) return s.cannot_write(AVERROR(problem));
    if (std::rename(s.temporary.c_str(), s.path.c_str()) != 0) return s.cannot_write(AVERROR(errno));
    s.whole = true;
    return {};
}

} // namespace downball::media
