// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/media/picture.h"
#include "downball/time/rate.h"
#include "downball/time/tick.h"

#include <cstdint>
#include <vector>

namespace downball::preview {

// A stretch of the movie in which somewhere more flash in a second than are allowed.
struct FlashStretch {
    Frame first, last; // from the first change that counts to the last
    int flashes = 0;   // most within one second of it
    bool red = false;  // saturated red; else of light
};

// Counts flashes by W3C WCAG 2.2, success criterion 2.3.1, "three flashes or below threshold", and its term "general
// flash and red flash thresholds". A general flash is a pair of opposing changes of relative luminance by 0.1 or
// more, the darker state below 0.8; a red one a pair of opposing changes to or from saturated red,
// R/(R+G+B) >= 0.8, by more than 0.2 in CIE 1976 u'v'. More than three of either in any second are too many if a quarter or
// more of any field of 10 degrees flashes, 341 x 256 pixels where the movie is shown 1024 pixels wide.
// Changes are found cell by cell (a cell is 1/48 of the width), whatever the shapes that move over them, and a slow change in one
// direction is one. It measures; whether a reel may be shown is not for it to say.
class FlashMeter {
  public:
    // Pictures of BT.709, studio range, as media::PictureReader gives them.
    FlashMeter(int width, int height, Rate rate);
    void push(const media::Picture& picture);
    // In order; those of light and of red by themselves. Stretches less than a second apart are one.
    std::vector<FlashStretch> stretches() const;

  private:
    struct Colour {
        double luminance = 0, u = 0, v = 0;
        bool red = false;
    };
    struct Cell {
        double low = 0, high = 0;       // luminance, the extremes since the last change began to lead there
        int direction = 0;              // of that change: up 1, down -1, none yet 0
        Colour hue;                     // the state that the last change of red led to
        std::vector<Frame> light, reds; // changes of the last second
    };
    std::vector<Colour> colours_of(const media::Picture& picture) const;
    void follow_light(Cell& cell, double now) const;
    void follow_red(Cell& cell, const Colour& now) const;
    void judge(std::vector<Frame> Cell::*changes, bool red, std::vector<FlashStretch>& found);

    std::int64_t second_; // frames that lie within one second: those that begin in [t, t + 1 s)
    int columns_, rows_, field_columns_, field_rows_;
    std::vector<Cell> cells_;
    Frame at_{0};
    std::vector<FlashStretch> light_, red_;
};

} // namespace downball::preview
