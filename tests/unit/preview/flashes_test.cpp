// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/preview/flashes.h"

#include <cmath>
#include <functional>

using namespace downball;
using namespace downball::preview;
using media::Picture;

namespace {

constexpr int wide = 640, high = 360;

// Studio luma of a grey of that relative luminance: the inverse of sRGB (IEC 61966-2-1).
std::uint8_t luma_of(double luminance) {
    const double c =
        luminance <= 0.0031308 ? 12.92 * luminance : 1.055 * std::pow(luminance, 1 / 2.4) - 0.055;
    return static_cast<std::uint8_t>(std::lround(16 + 219 * c));
}

Picture grey(double luminance) {
    return {wide, high, luma_of(luminance)};
}

void fill(Picture& picture, int x, int y, int w, int h, std::uint8_t luma, std::uint8_t cb = 128,
          std::uint8_t cr = 128) {
    for (int which = 0; which < 3; ++which) {
        const auto plane = picture.plane(which);
        const int half = which == 0 ? 1 : 2;
        for (int row = y / half; row < (y + h) / half; ++row)
            for (int column = x / half; column < (x + w) / half; ++column)
                plane.data[row * plane.width + column] = which == 0 ? luma : which == 1 ? cb : cr;
    }
}

// Three seconds in which the pictures take turns, each standing for so many frames.
std::vector<FlashStretch> take_turns(Rate rate, int frames, const std::vector<Picture>& pictures) {
    FlashMeter meter(pictures.front().width, pictures.front().height, rate);
    const int length = static_cast<int>(3 * rate.per_second());
    for (int k = 0; k < length; ++k)
        meter.push(pictures[static_cast<std::size_t>(k / frames) % pictures.size()]);
    return meter.stretches();
}

int flashes(const std::vector<FlashStretch>& found) {
    int most = 0;
    for (const auto& one : found)
        most = std::max(most, one.flashes);
    return most;
}

} // namespace

// W3C WCAG 2.2, success criterion 2.3.1: no more than three in any one second. The counts are those of its words for
// shots of luminance 0.90 and 0.05 that take turns.
TEST_CASE("shots that take turns flash as often as their changes pair up in a second") {
    struct Case {
        int fps, frames, flashes;
    };
    for (const auto& [fps, frames, wanted] : {Case{24, 3, 4},
                                              {24, 4, 0},
                                              {25, 3, 4},
                                              {25, 4, 0},
                                              {30, 4, 4},
                                              {30, 5, 0},
                                              {60, 6, 5},
                                              {60, 9, 0}}) {
        INFO(fps << " pictures a second, shots of " << frames);
        CHECK(flashes(take_turns(Rate(fps), frames, {grey(0.9), grey(0.05)})) == wanted); // 0 = allowed
    }
}

TEST_CASE("changes under a tenth, between bright pictures or in one direction are no flashes") {
    CHECK(take_turns(Rate(25), 2, {grey(0.5), grey(0.55)}).empty());
    CHECK(take_turns(Rate(25), 2, {grey(0.82), grey(0.95)}).empty());
    CHECK(!take_turns(Rate(25), 2, {grey(0.75), grey(0.95)}).empty());
    // Up in two steps and down in two is two changes in eight pictures, not four.
    CHECK(take_turns(Rate(25), 2, {grey(0.1), grey(0.4), grey(0.8), grey(0.4)}).empty());
    // Slow small steps add up: 0.5, 0.45, 0.55 is a change of a tenth.
    CHECK(!take_turns(Rate(25), 1, {grey(0.5), grey(0.44), grey(0.56), grey(0.5)}).empty());
}

// WCAG's term: relative luminance of sRGB; a tenth lies between codes 89 and 90 of grey.
TEST_CASE("a tenth of the luminance lies where sRGB has it") {
    const auto code = [](int value) { return Picture(wide, high, static_cast<std::uint8_t>(value)); };
    CHECK(take_turns(Rate(25), 2, {code(16), code(92)}).empty());  // 16 + 219 * 88 / 255 = 91.6
    CHECK(!take_turns(Rate(25), 2, {code(16), code(93)}).empty()); // 16 + 219 * 90 / 255 = 93.3
}

// A quarter of a field of 341 x 256 of 1024 pixels.
TEST_CASE("what flashes on less than a quarter of a field of ten degrees is allowed") {
    const auto with_square = [](int w, int h) {
        Picture dark = grey(0.05), lit = grey(0.05);
        fill(lit, 200, 100, w, h, luma_of(0.9));
        return take_turns(Rate(25), 2, {dark, lit});
    };
    CHECK(with_square(80, 66).empty());    // 0.40 of the quarter, 13640 pixels of 640 x 360
    CHECK(!with_square(134, 120).empty()); // 1.9 of it
    // Scattered, no field holds a quarter.
    Picture dark = grey(0.05), lit = grey(0.05);
    for (int n = 0; n < 4; ++n)
        fill(lit, 20 + 160 * n, n % 2 == 0 ? 20 : 260, 54, 54, luma_of(0.9));
    CHECK(take_turns(Rate(25), 2, {dark, lit}).empty());
}

TEST_CASE("saturated red flashes where its light alone would not, and blue does not") {
    Picture dark = grey(0), red = grey(0), blue = grey(0), pale = grey(0.2);
    fill(red, 0, 0, wide, high, 52, 109, 212);  // BT.709 of 200, 0, 0: luminance 0.12
    fill(blue, 0, 0, wide, high, 32, 240, 118); // of 0, 0, 255: luminance 0.07
    const auto found = take_turns(Rate(25), 2, {pale, red});
    REQUIRE(!found.empty());
    CHECK(std::any_of(found.begin(), found.end(), [](const FlashStretch& one) { return one.red; }));
    CHECK(take_turns(Rate(25), 2, {dark, blue}).empty());
    CHECK(take_turns(Rate(25), 9, {pale, red}).empty());
}

TEST_CASE("stretches tell where it flashes, and quiet seconds between part them") {
    FlashMeter meter(wide, high, Rate(25));
    const Picture dark = grey(0.05), bright = grey(0.9);
    for (int k = 0; k < 250; ++k) {
        const bool busy = (k >= 50 && k < 80) || (k >= 150 && k < 200);
        meter.push(busy && k / 2 % 2 == 1 ? bright : dark);
    }
    const auto found = meter.stretches();
    REQUIRE(found.size() == 2);
    CHECK(found[0].first.n >= 50);
    CHECK(found[0].last.n <= 82);
    CHECK(found[1].first.n >= 150);
    CHECK(found[1].last.n <= 202);
    CHECK(found[0].flashes == 6);
    CHECK(!found[0].red);
}

TEST_CASE("a tall movie and a small one are measured as well") {
    for (const auto& [w, h] : {std::pair{360, 640}, {64, 36}, {16, 16}}) {
        const Picture dark(w, h, luma_of(0.05)), bright(w, h, luma_of(0.9));
        CHECK(flashes(take_turns(Rate(25), 3, {dark, bright})) == 4);
        CHECK(take_turns(Rate(25), 4, {dark, bright}).empty());
    }
}
