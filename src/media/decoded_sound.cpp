// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/decoded_sound.h"

#include "media/frame_reader.h"
#include "media/sample_clock.h"
#include "media/to_planar.h"

#include <algorithm>
#include <fmt/format.h>

namespace downball::media {

namespace {

constexpr std::int64_t silence_a_turn = 65536;

class DecodedSound : public SoundSource {
  public:
    explicit DecodedSound(FrameReader reader) : reader_(std::move(reader)) {}

    int rate_hz() const override { return planar_->rate_hz(); }
    int channels() const override { return planar_->channels(); }
    double first_s() const override { return begins_s() - zero_s_; }
    const std::vector<std::string>& notes() const override { return reader_.losses().notes(); }
    bool lossy() const override { return reader_.losses().any(); }
    bool broke_off() const override { return reader_.broke_off(); }

    bool start(std::optional<double> zero_s);
    double begins_s() const { return in_seconds(origin_); }
    Result<bool> fill(SampleQueue& queue) override;

  private:
    double in_seconds(std::int64_t ticks) const { return seconds(ticks, reader_.track()->time_base); }
    std::int64_t in_samples(std::int64_t ticks) const {
        return av_rescale_q(ticks, reader_.track()->time_base, {1, rate_hz()});
    }
    double now_s() const { return first_s() + static_cast<double>(clock_->position()) / rate_hz(); }

    bool fetch();
    void take_new_form(SampleQueue& queue);
    void place();
    bool believed(std::int64_t stated, std::int64_t samples);
    void put(SampleQueue& queue, const ToPlanar::Planes& planes);
    bool finish(SampleQueue& queue);

    FrameReader reader_;
    FrameReader::Decoded now_, ahead_;
    bool have_now_ = false, have_ahead_ = false, placed_ = false, ended_ = false, tail_done_ = false;
    bool times_hold_ = true; // false once times were counted at a rate the sound no longer has
    std::optional<ToPlanar> planar_;
    std::optional<SampleClock> clock_;
    std::int64_t origin_ = 0; // ticks of the first sample
    double zero_s_ = 0;
    std::int64_t gap_left_ = 0, cut_left_ = 0;
};

bool DecodedSound::start(std::optional<double> zero_s) {
    have_now_ = reader_.next(now_);
    if (!have_now_) return false;
    now_.untimed_ticks = 0; // what is lost before the first sample, without a time, has no place
    planar_.emplace(*now_.frame);
    const auto stated = now_.frame->pts != AV_NOPTS_VALUE ? now_.frame->pts : reader_.track()->start_time;
    origin_ = stated != AV_NOPTS_VALUE ? stated : 0;
    if (reader_.lost_from() != AV_NOPTS_VALUE) origin_ = std::min(origin_, reader_.lost_from());
    zero_s_ = zero_s.value_or(in_seconds(origin_));
    clock_.emplace(rate_hz(), av_q2d(reader_.track()->time_base), reader_.may_jump());
    return true;
}

bool DecodedSound::fetch() {
    placed_ = false;
    have_now_ = have_ahead_ || reader_.next(now_);
    if (have_ahead_) std::swap(now_, ahead_);
    have_ahead_ = false;
    gap_left_ += in_samples(now_.untimed_ticks);
    return have_now_;
}

void DecodedSound::put(SampleQueue& queue, const ToPlanar::Planes& planes) {
    const auto cut = std::min(static_cast<std::size_t>(cut_left_), planes.frames);
    cut_left_ -= static_cast<std::int64_t>(cut);
    queue.append(planes.planes, cut, planes.frames - cut);
    clock_->advance(static_cast<std::int64_t>(planes.frames - cut));
}

void DecodedSound::take_new_form(SampleQueue& queue) {
    put(queue, planar_->drain());
    if (reader_.times_are_counted() && now_.frame->sample_rate != rate_hz()) times_hold_ = false;
    reader_.losses().note(fmt::format(
        "{:.3f} s: the sound changes to {} Hz, {} channels; converted to {} Hz, "
        "{} channels",
        now_s(), now_.frame->sample_rate, now_.frame->ch_layout.nb_channels, rate_hz(), channels()));
}

// A time that is off the count is believed if a loss explains it or the next frame follows from it. Some
// demuxers state a wrong time for single packets (Ogg Vorbis where long and short blocks meet).
bool DecodedSound::believed(std::int64_t stated, std::int64_t samples) {
    if (now_.after_loss) return true;
    if (!have_ahead_) have_ahead_ = reader_.next(ahead_);
    if (!have_ahead_ || ahead_.after_loss || ahead_.frame->pts == AV_NOPTS_VALUE) return true;
    SampleClock as_stated = *clock_;
    as_stated.advance(clock_->counted(stated) + samples - clock_->position());
    return !as_stated.off_count(in_samples(ahead_.frame->pts - origin_), samples);
}

// Decides how much silence comes before the frame at hand and how much of its head falls away.
void DecodedSound::place() {
    placed_ = true;
    reader_.losses().close_place(zero_s_);
    const auto& frame = *now_.frame;
    if (frame.pts == AV_NOPTS_VALUE || !times_hold_) return;
    const auto samples = av_rescale(frame.nb_samples, rate_hz(), frame.sample_rate);
    const auto stated = in_samples(frame.pts - origin_) - planar_->held();
    if (!clock_->off_count(stated, samples) || !believed(stated, samples)) return;
    const auto at_s = now_s();
    const auto where = clock_->place(stated, samples);
    gap_left_ = where.gap;
    cut_left_ = where.cut;
    if (where.jumped)
        reader_.losses().note(
            fmt::format("{:.3f} s: the file's clock jumps; the sound runs on without a gap", at_s));
    const double stated_s = in_seconds(frame.pts);
    reader_.losses().gap(stated_s - static_cast<double>(where.gap) / rate_hz(), stated_s, zero_s_);
}

Result<bool> DecodedSound::fill(SampleQueue& queue) {
    if (ended_) return false;
    if (gap_left_ > 0) {
        const auto silence = std::min(gap_left_, silence_a_turn);
        queue.append_silence(static_cast<std::size_t>(silence));
        clock_->advance(silence);
        gap_left_ -= silence;
        return true;
    }
    if (!have_now_ && !fetch()) return finish(queue);
    if (gap_left_ > 0) return true; // lost packets without a time come before this frame
    if (!placed_) {
        if (planar_->changed(*now_.frame)) take_new_form(queue);
        place();
        if (gap_left_ > 0) return true;
    }
    have_now_ = false;
    if (const auto planes = planar_->convert(*now_.frame)) {
        put(queue, *planes);
    } else {
        gap_left_ += av_rescale(now_.frame->nb_samples, rate_hz(), now_.frame->sample_rate);
        reader_.losses().note(
            fmt::format("{:.3f} s: sound of a form that cannot be converted, silence instead", now_s()));
    }
    return true;
}

// After the last frame: what the rate converter still holds, then silence for packets lost at the end.
bool DecodedSound::finish(SampleQueue& queue) {
    if (!tail_done_) {
        tail_done_ = true;
        put(queue, planar_->drain());
        if (times_hold_ && reader_.lost_until() != AV_NOPTS_VALUE && gap_left_ == 0) {
            const auto missing =
                clock_->counted(in_samples(reader_.lost_until() - origin_)) - clock_->position();
            // A longer one is a wrong time rather than a stretch of lost packets.
            if (missing > 0 && missing < 3600 * std::int64_t{rate_hz()}) gap_left_ = missing;
        }
        if (gap_left_ > 0) return true;
    }
    reader_.losses().close_place(zero_s_);
    if (reader_.may_run_early())
        reader_.losses().note(
            "the file keeps no times of its own: what comes after the damage may lie early");
    reader_.losses().finish(zero_s_);
    ended_ = true;
    return false;
}

} // namespace

Result<OpenedSound> open_decoded_sound(std::shared_ptr<PacketSource> source, std::optional<double> zero_s) {
    const auto path = source->input().path;
    auto reader = FrameReader::open(std::move(source));
    if (!reader) return reader.error();
    const std::string name = reader->codec_name();
    auto sound = std::make_unique<DecodedSound>(std::move(*reader));
    if (!sound->start(zero_s))
        return Error{Fault::bad_input,
                     fmt::format("its sound track ({}) holds no samples that can be decoded; copy the file "
                                 "again from the card, or treat it as silent",
                                 name),
                     path};
    const auto begins_s = sound->begins_s();
    return OpenedSound{std::move(sound), begins_s};
}

} // namespace downball::media
