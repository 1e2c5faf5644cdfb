// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/media/picture_reader.h"

#include "media/picture_decoder.h"
#include "media/picture_scaler.h"
#include "media/rotation.h"

#include <algorithm>
#include <fmt/format.h>

namespace downball::media {

namespace {

// Largest whole number not above `value`, where one above it by less than `near` counts as reached: so does
// FrameTable.
std::int64_t forgiving_floor(Fraction value, double near) {
    const auto whole = floor(value);
    return (Fraction(whole + 1) - value).to_double() < near ? whole + 1 : whole;
}

// Times of a constant rate are off by a twentieth of a frame at most, or by a tick and a half: see frame_rate.h.
constexpr std::int64_t rounded_ticks = 3; // between two of them

} // namespace

std::shared_ptr<KeyTables> make_key_tables() {
    return std::make_shared<KeyTables>();
}

struct PictureReader::State {
    std::string path;
    PictureOptions options;
    PictureDecoder decoder;
    PictureScaler scaler;
    Picture picture;
    std::int64_t scaled = -1; // presentation of the frame that `picture` shows

    Fraction tick() const { return {decoder.base().num, decoder.base().den}; }

    std::int64_t tick_at(Fraction media_s) const {
        return forgiving_floor(media_s / tick(), 1e-9 / tick().to_double());
    }
    // Ticks that pictures last.
    Fraction length() const { return Fraction(1) / options.rate->value() / tick(); }
    const AVFrame* frame_at(Fraction media_s) {
        const auto at = tick_at(media_s);
        if (!options.rate) return decoder.at(at, at);
        return decoder.at(at, std::min(at, at - floor(length() * Fraction(9, 10)) + rounded_ticks));
    }
};

Result<PictureReader> PictureReader::open(const std::string& path, const PictureOptions& options) {
    auto decoder = PictureDecoder::open(path, options.threads, options.key_tables.get());
    if (!decoder) return decoder.error();
    const auto* track = decoder->track();
    const auto& form = *track->codecpar;
    if (std::max(form.width, form.height) >= 2 * std::max(options.width, options.height) &&
        std::min(form.width, form.height) >= 2 * std::min(options.width, options.height))
        decoder->spare_deblocking();
    PictureScaler scaler(options, rotation_of(track), decoder->aspect());
    return PictureReader(
        std::make_unique<State>(State{path, options, std::move(*decoder), std::move(scaler), {}, -1}));
}

PictureReader::PictureReader(std::unique_ptr<State> state) : state_(std::move(state)) {}
PictureReader::PictureReader(PictureReader&&) noexcept = default;
PictureReader& PictureReader::operator=(PictureReader&&) noexcept = default;
PictureReader::~PictureReader() = default;

void PictureReader::expect(const std::vector<Fraction>& media_s) {
    if (!state_->options.rate) return;
    const auto reach = ceil(state_->length() * Fraction(11, 10)) + rounded_ticks;
    std::vector<PictureDecoder::Window> windows;
    for (const Fraction at : media_s)
        windows.push_back({state_->tick_at(at) - reach, state_->tick_at(at)});
    std::ranges::sort(windows, {}, &PictureDecoder::Window::to);
    state_->decoder.expect(std::move(windows));
}

Result<const Picture*> PictureReader::picture_at(Fraction media_s) {
    State& s = *state_;
    const auto bad = [&](const std::string& why) {
        return Error{
            Fault::bad_input,
            fmt::format("the picture there cannot be decoded ({}); copy the file again from the card", why),
            fmt::format("{} at {:.3f} s", s.path, media_s.to_double())};
    };
    const auto* frame = s.frame_at(media_s);
    if (!frame) return bad(s.decoder.why());
    if (frame->pts == s.scaled && s.picture.width > 0) return &s.picture;
    if (!s.scaler.scale(*frame, s.picture)) return bad("its form is not known");
    s.scaled = frame->pts;
    return &s.picture;
}

} // namespace downball::media
