// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/to_planar.h"

#include <utility>

namespace downball::media {

ToPlanar::ToPlanar(const AVFrame& first) : rate_hz_(first.sample_rate), layout_(first.ch_layout) {
    buffers_.resize(static_cast<std::size_t>(channels()));
    out_.resize(buffers_.size());
}

bool ToPlanar::changed(const AVFrame& frame) const {
    return in_format_ >= 0 && (frame.sample_rate != in_rate_ || !in_layout_.same_as(frame.ch_layout));
}

bool ToPlanar::configure(const AVFrame& frame) {
    in_rate_ = frame.sample_rate;
    in_format_ = frame.format;
    in_layout_ = Layout(frame.ch_layout);
    swr_.reset();
    const bool as_it_leaves = in_rate_ == rate_hz_ && layout_.same_as(frame.ch_layout);
    if (as_it_leaves && in_format_ == AV_SAMPLE_FMT_FLTP) return true;

    SwrContext* swr = nullptr;
    const auto code =
        swr_alloc_set_opts2(&swr, layout_.get(), AV_SAMPLE_FMT_FLTP, rate_hz_, in_layout_.get(),
                            static_cast<AVSampleFormat>(frame.format), frame.sample_rate, 0, nullptr);
    swr_.reset(swr);
    return code >= 0 && swr_init(swr) >= 0;
}

std::optional<ToPlanar::Planes> ToPlanar::convert(const AVFrame& frame) {
    if (changed(frame) || frame.format != in_format_)
        if (!configure(frame)) {
            in_format_ = -1;
            return std::nullopt;
        }
    if (!swr_)
        return Planes{reinterpret_cast<const float* const*>(frame.extended_data),
                      static_cast<std::size_t>(frame.nb_samples)};
    return run(const_cast<const std::uint8_t**>(frame.extended_data), frame.nb_samples);
}

ToPlanar::Planes ToPlanar::drain() {
    if (held() == 0) return {};
    return run(nullptr, 0).value_or(Planes{});
}

std::int64_t ToPlanar::held() const {
    return swr_ ? swr_get_delay(swr_.get(), rate_hz_) : 0;
}

std::optional<ToPlanar::Planes> ToPlanar::run(const std::uint8_t** data, int samples) {
    const auto room = swr_get_out_samples(swr_.get(), samples);
    if (room < 0) return std::nullopt;
    for (std::size_t c = 0; c < buffers_.size(); ++c) {
        if (std::cmp_less(buffers_[c].size(), room)) buffers_[c].resize(static_cast<std::size_t>(room));
        out_[c] = buffers_[c].data();
    }
    const auto got =
        swr_convert(swr_.get(), reinterpret_cast<std::uint8_t**>(out_.data()), room, data, samples);
    if (got < 0) return std::nullopt;
    return Planes{out_.data(), static_cast<std::size_t>(got)};
}

} // namespace downball::media
