// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/timeline.h"

#include <fmt/format.h>

namespace downball::test {

// A cut made by hand, with one of each thing a list can hold: real speed, slow motion, black, a file name
// that is no ASCII, a clip that runs over midnight, sound shorter than the picture, markers.
inline Timeline hand_cut() {
    Timeline cut;
    cut.name = "Strandtag";
    cut.rate = Rate(25);
    cut.start = Frame{90000}; // 01:00:00:00
    cut.length = Frame{250};
    cut.media = {{"/shoot/cards/C1_0001.mp4", "C1_0001.mp4", "1111111111111111", "C10001", Frame{900000},
                  Frame{500}, Rate(50), 20, true, 2},
                 {"/shoot/cards/day 2/D\xC3\xBCne #3.mp4", "D\xC3\xBCne #3.mp4", "2222222222222222", "DNE3",
                  Frame{0}, Frame{250}, Rate(100), 10, true, 1},
                 {"/shoot/cards/N.mov", "N.mov", "3333333333333333", "N", Frame{2159950}, Frame{200},
                  Rate(30000, 1001), 8, true, 0},
                 {"/shoot/song/Gezeiten.flac",
                  "Gezeiten.flac",
                  "4444444444444444",
                  "GEZEITEN",
                  Frame{0},
                  Frame{2000},
                  {},
                  80,
                  false,
                  2}};
    cut.video = {
        {"T1#2040", "T1", 0, {{0}, {40}}, {{900038}, {900078}}, Fraction(1), {{Frame{12}, "attack T1#2040"}}},
        {"T2#900", "T2", 1, {{40}, {120}}, {{20}, {40}}, Fraction(31, 125), {{Frame{50}, "set T2#900"}}},
        {"black@1", "", {}, {{120}, {130}}, {{0}, {10}}, Fraction(1), {}},
        {"T3@1", "T3", 2, {{130}, {230}}, {{2159960}, {2160060}}, Fraction(1), {}},
        {"T1#8000",
         "T1",
         0,
         {{230}, {250}},
         {{900190}, {900210}},
         Fraction(1),
         {{Frame{237}, "block T1#8000"}}}};
    cut.song = {{3, {{0}, {240}}, {{50}, {290}}, "", 0}};
    cut.natural = {{0, {{0}, {40}}, {{900039}, {900079}}, "T1#2040", 2},
                   {0, {{230}, {245}}, {{900191}, {900206}}, "T1#8000", 2}};
    cut.sections = {{Frame{0}, "section 1"}, {Frame{125}, "section 2"}};
    cut.notes = {"made by hand"};
    return cut;
}

// `shots` events of `length` frames each, from a few files, every third with natural sound under it.
inline Timeline long_cut(std::size_t shots, std::int64_t length, Rate rate, Counting counting, Frame start) {
    Timeline cut;
    cut.name = "long";
    cut.rate = rate;
    cut.counting = counting;
    cut.start = start;
    cut.length = Frame{static_cast<std::int64_t>(shots) * length};
    for (int i = 0; i < 3; ++i) {
        const std::string name = fmt::format("C{}.mp4", i);
        cut.media.push_back({"/shoot/" + name, name, fmt::format("{}", i), fmt::format("C{}", i), start,
                             Frame{500'000}, rate, to_seconds(Frame{500'000}, rate), true, 2});
    }
    cut.media.push_back({"/shoot/song.wav",
                         "song.wav",
                         "s",
                         "SONG",
                         Frame{0},
                         cut.length,
                         {},
                         to_seconds(cut.length, rate),
                         false,
                         2});
    for (std::size_t i = 0; i < shots; ++i) {
        const Frame at{static_cast<std::int64_t>(i) * length};
        const Frame source = start + at;
        cut.video.push_back({fmt::format("T{}", i),
                             fmt::format("T{}", i),
                             i % 3,
                             {at, at + Frame{length}},
                             {source, source + Frame{length}},
                             Fraction(1),
                             {}});
        if (i % 3 == 0)
            cut.natural.push_back({i % 3,
                                   {at, at + Frame{length}},
                                   {source, source + Frame{length}},
                                   fmt::format("T{}", i),
                                   2});
    }
    cut.song = {{3, {Frame{0}, cut.length}, {Frame{0}, cut.length}, "", 0}};
    return cut;
}

} // namespace downball::test
