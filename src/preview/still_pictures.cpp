// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/preview/still_pictures.h"

#include <algorithm>
#include <cstdlib>

namespace downball::preview {

namespace {

constexpr int black_luma = 16 + 219 / 10;
constexpr std::int64_t shortest_black = 2; // pictures

bool is_black(const media::Picture& picture) {
    const auto luma = picture.plane(0);
    const std::int64_t pixels = static_cast<std::int64_t>((luma.height + 1) / 2) * luma.width;
    std::int64_t lit = 0;
    for (int y = 0; y < luma.height; y += 2) {
        const std::uint8_t* row = luma.data + static_cast<std::ptrdiff_t>(y) * luma.width;
        lit += std::count_if(row, row + luma.width, [](std::uint8_t value) { return value > black_luma; });
        if (lit * 50 > pixels) return false; // more than 2 %
    }
    return true;
}

// Sums a row in one type, which compilers turn into few instructions.
std::uint32_t difference(const std::uint8_t* a, const std::uint8_t* b, int width) {
    std::uint32_t sum = 0;
    for (int x = 0; x < width; ++x)
        sum += static_cast<std::uint32_t>(std::abs(a[x] - b[x]));
    return sum;
}

} // namespace

void BlackMeter::push(const media::Picture& picture) {
    const Frame next = at_ + Frame{1};
    if (is_black(picture)) {
        if (!found_.empty() && found_.back().out == at_)
            found_.back().out = next;
        else
            found_.push_back({at_, next});
    } else if (!found_.empty() && found_.back().length().n < shortest_black) {
        found_.pop_back();
    }
    at_ = next;
}

std::vector<FrameRange> BlackMeter::stretches() const {
    auto all = found_;
    std::erase_if(all, [](FrameRange range) { return range.length().n < shortest_black; });
    return all;
}

bool FreezeMeter::stands_still(const media::Picture& picture) const {
    const auto luma = picture.plane(0);
    const auto pixels = static_cast<std::uint64_t>(luma.width) * static_cast<std::uint64_t>(luma.height);
    if (first_.size() != pixels) return false;
    std::uint64_t sum = 0;
    for (std::uint64_t from = 0; from < pixels; from += static_cast<std::uint64_t>(luma.width)) {
        sum += difference(luma.data + from, first_.data() + from, luma.width);
        if (sum * 1000 > pixels * 256) return false;
    }
    return true;
}

void FreezeMeter::push(const media::Picture& picture) {
    const Frame next = at_ + Frame{1};
    if (!stands_still(picture)) {
        if (counts(now_, rate_)) found_.push_back(now_);
        now_ = {at_, next};
        const auto luma = picture.plane(0);
        first_.assign(luma.data, luma.data + static_cast<std::ptrdiff_t>(luma.width) * luma.height);
    }
    now_.out = next;
    at_ = next;
}

bool FreezeMeter::counts(FrameRange range, Rate rate) {
    return Fraction(2 * range.length().n) >= rate.value();
}

std::vector<FrameRange> FreezeMeter::stretches() const {
    auto all = found_;
    if (counts(now_, rate_)) all.push_back(now_);
    return all;
}

} // namespace downball::preview
