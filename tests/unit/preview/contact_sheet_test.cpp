// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "unit/preview/counter_reel.h"

#include "downball/preview/contact_sheet.h"

#include <array>
#include <cmath>
#include <utility>

using namespace downball;
using namespace downball::test;

namespace {

// A sheet as the ffmpeg program decodes it.
struct Seen {
    int width = 0, height = 0;
    std::string rgb;

    std::array<int, 3> at(int x, int y) const {
        const auto from =
            3 * (static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x));
        return {static_cast<unsigned char>(rgb[from]), static_cast<unsigned char>(rgb[from + 1]),
                static_cast<unsigned char>(rgb[from + 2])};
    }
    // First row from `from` on where all of these columns differ from the ground, which the corner has: a picture.
    int picture_from(int from, int left, int right) const {
        for (int y = from; y < height; ++y) {
            int x = left;
            while (x < right && at(x, y) != at(0, 0))
                ++x;
            if (x == right) return y;
        }
        return -1;
    }
};

preview::ContactSheet drawn(const Timeline& timeline, const preview::SheetTexts& texts) {
    auto sheet = preview::contact_sheet(timeline, texts);
    INFO((sheet ? "" : to_string(sheet.error())));
    REQUIRE(sheet);
    return *sheet;
}

Seen seen(const TempFolder& folder, const std::string& png) {
    std::ofstream(folder / "sheet.png", std::ios::binary) << png;
    ffmpeg("-y -i " + (folder / "sheet.png") + " -f rawvideo -pix_fmt rgb24 " + (folder / "sheet.rgb"));
    std::ifstream file(folder / "sheet.rgb", std::ios::binary);
    Seen sheet;
    sheet.rgb.assign(std::istreambuf_iterator<char>(file), {});
    const auto big_endian = [&](std::size_t from) { // PNG, 11.2.2: width and height lead its header
        int value = 0;
        for (std::size_t i = 0; i < 4; ++i)
            value = value << 8 | static_cast<unsigned char>(png[from + i]);
        return value;
    };
    sheet.width = big_endian(16);
    sheet.height = big_endian(20);
    REQUIRE(sheet.rgb.size() ==
            3 * static_cast<std::size_t>(sheet.width) * static_cast<std::size_t>(sheet.height));
    return sheet;
}

preview::SheetTexts texts_of(const std::vector<std::int64_t>& frames) {
    preview::SheetTexts texts{"reel", "4.0 s", {}};
    for (const auto frame : frames)
        texts.tiles.push_back(
            {Frame{frame}, std::to_string(texts.tiles.size() + 1), "01:00:00:00", "attack", {"Mara"}});
    return texts;
}

// Relative luminance, WCAG 2.2.
double luminance(const std::array<int, 3>& rgb) {
    const auto linear = [](int value) {
        const double c = value / 255.0;
        return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
    };
    return 0.2126 * linear(rgb[0]) + 0.7152 * linear(rgb[1]) + 0.0722 * linear(rgb[2]);
}

constexpr int margin = 28, tile = 328, gap = 20, picture = 184; // of a sheet of three columns

} // namespace

TEST_CASE("a contact sheet has three tiles a row, in order, each the picture asked for") {
    const CounterReel reel;
    const auto sheet = drawn(reel.timeline, texts_of({40, 25, 99, 75}));
    CHECK(sheet.notes.empty());
    CHECK(sheet.png == drawn(reel.timeline, texts_of({40, 25, 99, 75})).png);
    const auto image = seen(reel.folder, sheet.png);
    CHECK(image.width == 1080);
    const int first = image.picture_from(0, margin, margin + tile);
    REQUIRE(first > 100);
    const int second = image.picture_from(first + picture, margin, margin + tile);
    REQUIRE(second > first + picture + 80);
    const auto number = [&](int column, int top) {
        int value = 0;
        for (int bit = 0; bit < counter_bits; ++bit)
            if (image.at(margin + column * (tile + gap) + (2 * bit + 1) * tile / (2 * counter_bits),
                         top + picture / 2)[1] > 127)
                value += 1 << bit;
        return value;
    };
    CHECK(number(0, first) == 55); // as in the stills
    CHECK(number(1, first) == 25);
    CHECK(number(2, first) == 124);
    CHECK(number(0, second) == 100);
    // No fourth, fifth picture.
    CHECK(image.picture_from(first, margin + 3 * tile + 2 * gap, 1080) == -1);
    CHECK(image.picture_from(second, margin + tile + gap, margin + 2 * tile + gap) == -1);
}

TEST_CASE("its texts stand out by 4.5 to 1, and stay in their tiles") { // WCAG 2.2, success criterion 1.4.3
    const CounterReel reel;
    auto texts = texts_of({40, 25, 99});
    texts.name = std::string(300, 'W');
    texts.tiles[0].players = {std::string(300, 'W'), "<b>x</b>"};
    texts.tiles[0].what = texts.tiles[0].label = std::string(300, 'W');
    texts.tiles[2].players = {"\u05de\u05e9\u05d7\u05e7"};
    const auto image = seen(reel.folder, drawn(reel.timeline, texts).png);
    const int top = image.picture_from(0, margin, margin + tile), below = top + picture;
    const double ground = luminance(image.at(0, 0));
    // The brightest pixel of each row of text, once for each line.
    const auto inked = [&](int x, int y) { return image.at(x, y) != image.at(0, 0); };
    double brightest = 0;
    std::vector<double> lines;
    for (int y = below; y < image.height; ++y) {
        double row = 0;
        for (int x = margin + tile + gap; x < margin + 2 * tile + gap; ++x)
            if (inked(x, y)) row = std::max(row, luminance(image.at(x, y)));
        if (row == 0 && brightest > 0) lines.push_back(std::exchange(brightest, 0));
        brightest = std::max(brightest, row);
    }
    CHECK(lines.size() >= 3); // skill, player, timecode
    for (const double line : lines)
        CHECK((line + 0.05) / (ground + 0.05) >= 4.5);
    int beside = 0, left = 0, right = 0;
    for (int y = 0; y < image.height; ++y) {
        for (int x = 0; x < margin - 2; ++x)
            beside += inked(x, y) + inked(1079 - x, y);
        for (int x = margin + tile + 2; y >= top && x < margin + tile + gap - 2; ++x)
            beside += inked(x, y);
        for (int x = 2 * (tile + gap) + margin; y >= below && x < 1080; ++x)
            (x < 2 * (tile + gap) + margin + tile / 2 ? left : right) += inked(x, y);
    }
    CHECK(beside == 0);
    CHECK(right > 50); // Hebrew begins at the right
    CHECK(left > right);
}

TEST_CASE("it grows with the shots, and for hundreds of them in width too") {
    const CounterReel reel;
    const auto size = [&](std::size_t shots) {
        const auto image =
            seen(reel.folder, drawn(reel.timeline, texts_of(std::vector<std::int64_t>(shots, 3))).png);
        return std::pair{image.width, image.height};
    };
    CHECK(size(1).first == 1080);
    CHECK(size(3) == size(1));
    CHECK(size(4).second > size(3).second + 184);
    const auto [width, height] = size(60);
    CHECK(width == 1080);
    CHECK(height < 8000);
    const auto wider = size(61);
    CHECK(wider.first == 2160);
    CHECK(wider.second < height);
    const auto most = size(700);
    CHECK(most.first == 2160);
    CHECK(most.second < 16000);
    CHECK(size(0).second < 400);
}

TEST_CASE("a clip that cannot be decoded is a slate on the sheet, and a note; a stop ends it") {
    const CounterReel reel;
    std::ofstream(reel.folder / "clip.mov", std::ios::binary) << std::string(5000, 'x');
    const auto sheet = drawn(reel.timeline, texts_of({40}));
    REQUIRE(sheet.notes.size() == 1);
    CHECK(sheet.notes[0].find("clip.mov: a slate stands for 1 still of shot") == 0);
    const auto image = seen(reel.folder, sheet.png);
    const int top = image.picture_from(0, margin, margin + tile);
    REQUIRE(top > 0);
    CHECK(image.at(margin + 2, top + 2)[0] == Approx(40).margin(5)); // (50 - 16) / 219 of 255
    std::stop_source stop;
    stop.request_stop();
    const auto stopped = preview::contact_sheet(reel.timeline, texts_of({40}), {{}, stop.get_token()});
    REQUIRE_FALSE(stopped);
    CHECK(stopped.error().fault == Fault::interrupted);
}
