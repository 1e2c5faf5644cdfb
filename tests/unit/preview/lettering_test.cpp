// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "preview/lettering.h"
#include "preview/slate.h"
#include "support/catch.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numeric>
#include <thread>

using namespace downball;
using preview::Letters;
using preview::letters_of;
using preview::slate;

namespace {

// Ink in the columns from `left` to `right`, as so many full pixels.
double ink_in(const Letters& letters, int left, int right) {
    double sum = 0;
    for (int y = 0; y < letters.height; ++y)
        for (int x = left; x < right; ++x)
            sum += letters.at(x, y) / 255.0;
    return sum;
}

double ink_of(const Letters& letters) {
    return ink_in(letters, 0, letters.width);
}

const std::string hebrew = "\u05de\u05e9\u05d7\u05e7 \u05d7\u05d5\u05e3";
const std::string arabic = "\u0643\u0631\u0629 \u0627\u0644\u0634\u0627\u0637\u0626";

} // namespace

TEST_CASE("letters are drawn, of Latin with its marks and of other scripts") {
    for (const std::string& text : {std::string("Strand"), std::string("\u00dcbung"), hebrew, arabic,
                                    std::string("\u041f\u043b\u044f\u0436"), std::string("<>&\"'")}) {
        INFO(text);
        const auto letters = letters_of(text, {.em_px = 20});
        CHECK(letters.width > 20);
        CHECK(letters.height > 20);
        CHECK(letters.height < 30);
        CHECK(ink_of(letters) > 50);
    }
    // The marks lie over the letter.
    const auto plain = letters_of("U", {.em_px = 40}), marked = letters_of("\u00dc", {.em_px = 40});
    REQUIRE(plain.cover.size() == marked.cover.size());
    CHECK(ink_of(marked) > ink_of(plain) + 5);
    CHECK(letters_of("a", {.em_px = 20, .bold = true}).cover != letters_of("a", {.em_px = 20}).cover);
}

TEST_CASE("marks of a markup language are text like any other") {
    CHECK(letters_of("<b>a</b>", {.em_px = 20}).width > 3 * letters_of("a", {.em_px = 20}).width);
    CHECK(letters_of("&amp;", {.em_px = 20}).width > 3 * letters_of("&", {.em_px = 20}).width);
}

TEST_CASE("a text begins at the side that its script begins at") { // Unicode UAX #9, rule P2
    const auto left = letters_of("abc", {.em_px = 20, .width_px = 400});
    CHECK(ink_in(left, 0, 100) == Approx(ink_of(left)));
    for (const auto& text : {hebrew, arabic}) {
        const auto right = letters_of(text, {.em_px = 20, .width_px = 400});
        CHECK(ink_in(right, 250, 400) == Approx(ink_of(right)));
    }
    const auto centred = letters_of("abc", {.em_px = 20, .centred = true, .width_px = 400});
    CHECK(ink_in(centred, 150, 250) == Approx(ink_of(centred)));
}

TEST_CASE("a text that is too long is wrapped, and what is still over is left out") {
    const auto one = letters_of("x", {.em_px = 20}).height;
    const auto lines = [&](const std::string& text, int most) {
        const auto letters = letters_of(text, {.em_px = 20, .width_px = 300, .most_lines = most});
        CHECK(letters.width == 300);
        return static_cast<int>(std::lround(static_cast<double>(letters.height) / one));
    };
    CHECK(lines("one two", 4) == 1);
    CHECK(lines("words that are more than a line of three hundred pixels", 4) == 2);
    CHECK(lines(std::string(300, 'W'), 4) == 4); // one word
    CHECK(lines(std::string(300, 'W'), 1) == 1);
    // So long, the end does not matter.
    CHECK(letters_of(std::string(300, 'x'), {.em_px = 20, .width_px = 300}).cover ==
          letters_of(std::string(290, 'x') + "yyyyyyyyyy", {.em_px = 20, .width_px = 300}).cover);
    CHECK(letters_of(std::string(300, 'x'), {.em_px = 20, .width_px = 300}).cover ==
          letters_of(std::string(1000000, 'x'), {.em_px = 20, .width_px = 300}).cover);
    CHECK(letters_of("x\ny", {.em_px = 20}).height == one);
    CHECK(letters_of("", {.em_px = 20}).cover.empty());
}

TEST_CASE("what is no UTF-8 is drawn as the sign for it") {
    CHECK(letters_of("a\xff"
                     "b",
                     {.em_px = 20})
              .cover == letters_of("a\ufffd"
                                   "b",
                                   {.em_px = 20})
                            .cover);
}

TEST_CASE("threads draw at once what one draws alone") {
    const auto drawn = [](int i) {
        return letters_of(fmt::format("shot {} {}", i % 7, hebrew), {.em_px = 10.0 + i % 7, .width_px = 90})
            .cover;
    };
    std::vector<std::vector<std::uint8_t>> alone;
    for (int i = 0; i < 7; ++i)
        alone.push_back(drawn(i));
    std::vector<int> wrong(4);
    {
        std::vector<std::jthread> threads;
        for (auto& mine : wrong)
            threads.emplace_back([&] {
                for (int i = 0; i < 70; ++i)
                    mine += drawn(i) != alone[static_cast<std::size_t>(i % 7)];
            });
    }
    CHECK(std::accumulate(wrong.begin(), wrong.end(), 0) == 0);
}

TEST_CASE("a slate holds any name, with room around it") {
    for (const auto& [width, height] : {std::pair{640, 360}, {360, 640}, {208, 116}, {16, 16}, {2, 2}})
        for (const std::string& name :
             {std::string("Bei\u00df_01.mov"), hebrew + ".mov", std::string(300, 'W'),
              std::string("<script>alert('1')</script>"), std::string()}) {
            INFO(fmt::format("{} x {} {}", width, height, name));
            const auto picture = slate(width, height, name);
            const auto luma = picture.plane(0);
            REQUIRE(luma.width == width);
            if (width < 100) continue;
            int edge = 0, bright = 0;
            for (int y = 0; y < height; ++y)
                for (int x = 0; x < width; ++x) {
                    const int grey = luma.data[y * width + x];
                    bright += grey > 130;
                    edge += grey != luma.data[0] &&
                            (x < width / 50 || x >= width - width / 50 || y < 2 || y >= height - 2);
                }
            CHECK(edge == 0);
            CHECK((bright > 30) == !name.empty());
        }
}
