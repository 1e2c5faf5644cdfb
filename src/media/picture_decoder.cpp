// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/picture_decoder.h"

#include "media/survey.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace downball::media {

namespace {

// Packets after a jump until a key picture has to come: 10 s of 60 a second.
constexpr int longest_wait = 600;
// Without a whole index, a jump pays from here on.
constexpr double far_s = 2;

bool whole_index(const AVStream* track) {
    return track->nb_frames > 0 && avformat_index_get_entries_count(track) == track->nb_frames;
}

} // namespace

PictureDecoder::PictureDecoder(Input input, AVStream* track, CodecPtr codec, std::int64_t zero)
    : input_(std::move(input)), track_(track), codec_(std::move(codec)), clock_(steady_clock(input_, track)),
      zero_(zero), packet_(av_packet_alloc()) {}

Result<PictureDecoder> PictureDecoder::open(const std::string& path, int threads, KeyTables* known) {
    const auto bad = [&](std::string what) { return Error{Fault::bad_input, std::move(what), path}; };
    auto input = open_input(path, Look::header);
    if (!input) return input.error();
    auto* track = input->picture();
    if (!track) return bad("the file has no pictures; choose one with a picture track");
    const auto zero_s = first_picture_s(*input, track);
    const auto* decoder = avcodec_find_decoder(track->codecpar->codec_id);
    if (!decoder)
        return bad(fmt::format("its pictures are {}, which cannot be decoded here; convert it to H.264",
                               avcodec_get_name(track->codecpar->codec_id)));
    CodecPtr codec(avcodec_alloc_context3(decoder));
    auto code = avcodec_parameters_to_context(codec.get(), track->codecpar);
    codec->pkt_timebase = track->time_base;
    codec->thread_count = std::max(1, threads);
    if (code >= 0) code = avcodec_open2(codec.get(), decoder, nullptr);
    if (code < 0)
        return bad(fmt::format("its pictures ({}) cannot be decoded ({}); copy the file again from the card",
                               decoder->name, ffmpeg_says(code)));
    const auto zero = std::llround(zero_s.value_or(0) / av_q2d(track->time_base));
    PictureDecoder made(std::move(*input), track, std::move(codec), zero);
    if (made.input_.may_jump()) {
        made.rewind(); // looking for the first picture read past others
        if (auto table = known ? known->find(path) : nullptr) {
            made.table_ = std::move(table);
        } else {
            made.table_ = made.find_keys();
            if (known && !made.lost_) known->keep(path, made.table_);
            made.rewind();
        }
    } else {
        made.displaced_ = true;
    }
    return made;
}

// By its bytes alone a place is found again whatever the clock says there. Reads to the end.
std::shared_ptr<const KeyTable> PictureDecoder::find_keys() {
    auto table = std::make_shared<KeyTable>();
    bool any_key = false;
    for (int passed = 0; read(); ++passed) {
        const bool key = packet_->flags & AV_PKT_FLAG_KEY, timed = packet_->pts != AV_NOPTS_VALUE;
        // Before its first key picture a stream that begins in the middle of a group shows nothing: see survey.cpp.
        if (key && !any_key && passed < longest_wait) table->counted = false;
        any_key = any_key || key;
        if (!timed) table->counted = track_->avg_frame_rate.num > 0;
        if (key && timed && packet_->pos >= 0)
            table->keys.push_back({packet_->pts - zero_, packet_->pos, clock_.jumps()});
        have_packet_ = false;
    }
    if (table->counted) table->keys.clear();
    return table;
}

void PictureDecoder::forget() {
    avcodec_flush_buffers(codec_.get());
    current_.reset();
    ahead_.reset();
    due_.clear();
    passed_over_.clear();
    have_packet_ = draining_ = ended_ = lost_ = displaced_ = false;
    errors_draining_ = 0;
    why_.clear();
}

void PictureDecoder::rewind() {
    if (auto again = open_input(input_.path, Look::header)) {
        if (auto* track = again->picture()) {
            input_ = std::move(*again);
            track_ = track;
            input_.read_only({track_});
        }
    }
    clock_ = steady_clock(input_, track_);
    read_to_ = INT64_MIN;
    count_ = 0;
    forget();
}

// The next packet of the track, its times on the steady clock.
bool PictureDecoder::read() {
    if (have_packet_) return true;
    for (;;) {
        av_packet_unref(packet_.get());
        const auto code = av_read_frame(input_.format.get(), packet_.get());
        if (code < 0) {
            if (code != AVERROR_EOF) lose(code);
            return false;
        }
        // An empty packet would tell the decoder that the stream has ended.
        if (packet_->stream_index != track_->index || packet_->size <= 0) continue;
        const auto jumps = clock_.follow(*packet_);
        if (packet_->pts != AV_NOPTS_VALUE) packet_->pts -= jumps;
        if (packet_->dts != AV_NOPTS_VALUE) {
            packet_->dts -= jumps;
            read_to_ = packet_->dts;
        }
        have_packet_ = true;
        return true;
    }
}

// Reads on to a key picture, which stays at hand. False if there is none shown at or before `tick`; `earlier` is
// then where to look next.
bool PictureDecoder::read_key(std::int64_t tick, std::int64_t& earlier) {
    for (int passed = 0; passed < longest_wait && read(); ++passed) {
        if (!(packet_->flags & AV_PKT_FLAG_KEY)) {
            have_packet_ = false;
            continue;
        }
        const auto at = packet_->pts != AV_NOPTS_VALUE ? packet_->pts : packet_->dts;
        if (at != AV_NOPTS_VALUE && at - zero_ <= tick) return true;
        if (packet_->dts != AV_NOPTS_VALUE) earlier = std::min(earlier, packet_->dts - 1);
        return false;
    }
    return false;
}

bool PictureDecoder::seek_byte(std::int64_t tick) {
    auto after = std::ranges::upper_bound(table_->keys, tick, {}, &KeyTable::Key::shown);
    if (after == table_->keys.begin()) return false;
    const auto& key = *std::prev(after);
    forget();
    if (av_seek_frame(input_.format.get(), track_->index, key.byte, AVSEEK_FLAG_BYTE) < 0) return false;
    clock_.resume(key.jumps);
    std::int64_t unused = 0;
    return read_key(tick, unused) && packet_->pts - zero_ == key.shown;
}

// To a key picture from which all that is shown from `tick` on can be decoded: one that is itself shown at or
// before it. A demuxer's own search goes by decoding times, or lands anywhere.
void PictureDecoder::seek(std::int64_t tick) {
    if (input_.may_jump()) {
        if (!seek_byte(tick)) rewind();
        return;
    }
    auto target = tick + zero_;
    auto step = std::max<std::int64_t>(1, std::llround(0.5 / av_q2d(track_->time_base)));
    for (int tries = 0; tries < 12; ++tries) {
        forget();
        if (av_seek_frame(input_.format.get(), track_->index, target, AVSEEK_FLAG_BACKWARD) < 0) break;
        read_to_ = INT64_MIN;
        auto earlier = target - step;
        if (tries == 0) earlier = target; // the key picture tells
        if (read_key(tick, earlier)) return;
        if (earlier == target) earlier -= step;
        target = earlier;
        step *= 2;
    }
    rewind();
}

bool PictureDecoder::worth_seeking(std::int64_t tick) const {
    if (input_.may_jump()) {
        const auto after = std::ranges::upper_bound(table_->keys, tick, {}, &KeyTable::Key::shown);
        if (after == table_->keys.begin()) return false;
        return std::prev(after) != table_->keys.begin() && std::prev(after)->shown + zero_ > read_to_;
    }
    // Pictures are stored ahead of where they are shown, by at most so much.
    const auto rate = track_->avg_frame_rate;
    const auto lead =
        rate.num > 0 ? av_rescale_q(codec_->has_b_frames + 1, av_inv_q(rate), track_->time_base) : 0;
    const auto entry = av_index_search_timestamp(track_, tick + zero_ - lead, AVSEEK_FLAG_BACKWARD);
    if (entry > 0 && avformat_index_get_entry(track_, entry)->timestamp > read_to_) return true;
    if (whole_index(track_)) return false;
    return seconds(tick - (current_ ? shown(*current_) : 0), track_->time_base) > far_s;
}

void PictureDecoder::lose(int code) {
    lost_ = true;
    why_ = ffmpeg_says(code);
}

void PictureDecoder::feed() {
    if (!read()) {
        avcodec_send_packet(codec_.get(), nullptr);
        draining_ = true;
        return;
    }
    have_packet_ = false;
    const bool dropped = packet_->flags & AV_PKT_FLAG_DISCARD;
    codec_->skip_frame = AVDISCARD_DEFAULT;
    if (packet_->pts != AV_NOPTS_VALUE && !dropped && !table_->counted) {
        const auto at = packet_->pts - zero_;
        if (needless(at)) {
            codec_->skip_frame = AVDISCARD_NONREF;
            passed_over_.insert(at);
        }
        due_.insert(at);
    }
    if (const auto code = avcodec_send_packet(codec_.get(), packet_.get()); code < 0) lose(code);
}

bool PictureDecoder::decode(FramePtr& into) {
    for (;;) {
        const auto code = avcodec_receive_frame(codec_.get(), into.get());
        if (code == AVERROR_EOF) return false;
        if (code == 0) {
            if (into->pts == AV_NOPTS_VALUE) into->pts = into->best_effort_timestamp;
            if (table_->counted)
                into->pts =
                    zero_ + av_rescale_q(count_++, av_inv_q(track_->avg_frame_rate), track_->time_base);
            if (into->pts == AV_NOPTS_VALUE) continue;
            return true;
        }
        if (code != AVERROR(EAGAIN)) {
            if (draining_ && ++errors_draining_ > 16) return false;
            lose(code);
        } else if (draining_) {
            return false;
        } else {
            feed();
        }
    }
}

bool PictureDecoder::needless(std::int64_t at) const {
    if (windows_.empty()) return false;
    const auto window = std::ranges::lower_bound(windows_, at, {}, &Window::to);
    return window == windows_.end() || at < window->from;
}

const AVFrame* PictureDecoder::look(std::int64_t tick, std::int64_t sure_from) {
    while (!ended_) {
        if (ahead_ && shown(*ahead_) > tick) break;
        if (ahead_) current_ = std::move(ahead_);
        if (current_ && shown(*current_) >= sure_from) break;
        FramePtr next(av_frame_alloc());
        if (!next || !decode(next))
            ended_ = true;
        else
            ahead_ = std::move(next);
    }
    if (current_) {
        due_.erase(due_.begin(), due_.lower_bound(shown(*current_)));
        passed_over_.erase(passed_over_.begin(), passed_over_.upper_bound(shown(*current_)));
    }
    return current_ ? current_.get() : ahead_.get();
}

const AVFrame* PictureDecoder::at(std::int64_t tick, std::int64_t sure_from) {
    tick = std::max<std::int64_t>(0, tick);
    const auto missing = [&](const std::set<std::int64_t>& pictures) {
        const auto after = pictures.upper_bound(tick);
        return after != pictures.begin() && (!current_ || *std::prev(after) > shown(*current_));
    };
    const bool beyond = current_ ? shown(*current_) > tick : ahead_ && shown(*ahead_) > tick;
    const bool at_hand = (ahead_ && shown(*ahead_) > tick) || (current_ && shown(*current_) >= sure_from);
    if (displaced_ || beyond || (!at_hand && worth_seeking(tick))) seek(tick);
    const auto* found = look(tick, sure_from);
    if (missing(passed_over_)) { // left out, as nobody had said that it was wanted
        windows_.clear();
        seek(tick);
        found = look(tick, sure_from);
    }
    if (lost_ && (missing(due_) || !found)) return nullptr;
    if (!found) why_ = "no picture comes out of the decoder";
    return found;
}

} // namespace downball::media
