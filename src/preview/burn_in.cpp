// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "preview/burn_in.h"

#include "preview/ink.h"

#include <array>
#include <fmt/format.h>

namespace downball::preview {

namespace {

constexpr std::uint8_t plate = 20, bright = 235;
constexpr int plate_cover = 190; // of 255: the picture shows through a little

int even(double pixels) {
    return static_cast<int>(pixels / 2) * 2;
}

void darken(media::Picture::Plane plane, int left, int top, int right, int bottom, int to) {
    std::array<std::uint8_t, 256> darker; // of each shade: quicker than working it out for every pixel
    for (int shade = 0; shade < 256; ++shade)
        darker[static_cast<std::size_t>(shade)] = static_cast<std::uint8_t>(between(shade, to, plate_cover));
    for (int y = std::max(0, top); y < std::min(bottom, plane.height); ++y)
        for (int x = left; x < std::min(right, plane.width); ++x) {
            auto& shade = plane.data[static_cast<std::ptrdiff_t>(y) * plane.width + x];
            shade = darker[shade];
        }
}

} // namespace

BurnIn::BurnIn(const Timeline& timeline, int width, int height) : timeline_(timeline) {
    const double shorter = std::min(width, height);
    pad_ = even(shorter / 60) + 2;
    left_ = even(width * 0.05);
    bottom_ = height - even(height * 0.05);
    for (const VideoEvent& event : timeline.video)
        if (event.part == 0) numbers_[event.record.in] = numbers_.size() + 1;
    for (const char c : std::string("0123456789:; frame"))
        letters_[c] = letters_of(std::string(1, c), {.em_px = std::max(8.0, shorter / 16), .bold = true});
}

std::string BurnIn::text(Frame at) const {
    const auto after = numbers_.upper_bound(at);
    const auto number = after == numbers_.begin() ? 0 : std::prev(after)->second;
    const auto digits = fmt::format_int(numbers_.size()).size(); // so the plate stays as wide
    return fmt::format("{:>{}}  {}", number, digits, record_label(timeline_, at));
}

void BurnIn::draw(media::Picture& picture, Frame at) const {
    const auto line = text(at);
    int width = 0, height = 0;
    for (const char c : line) {
        width += letters_.at(c).width;
        height = std::max(height, letters_.at(c).height);
    }
    const int right = left_ + even(width + 2 * pad_ + 1), top = bottom_ - even(height + pad_ + 1);
    darken(picture.plane(0), left_, top, right, bottom_, plate);
    for (const int chroma : {1, 2})
        darken(picture.plane(chroma), left_ / 2, top / 2, right / 2, bottom_ / 2, 128);
    int x = left_ + pad_;
    for (const char c : line) {
        ink(picture, letters_.at(c), x, top + pad_ / 2, bright);
        x += letters_.at(c).width;
    }
}

} // namespace downball::preview
