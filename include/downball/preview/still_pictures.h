// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/media/picture.h"
#include "downball/time/rate.h"
#include "downball/time/tick.h"

#include <cstdint>
#include <vector>

namespace downball::preview {

// Finds black pictures as FFmpeg's filter blackdetect defines them, with its defaults (documentation of FFmpeg's
// filters, "blackdetect"): 98 % of the pixels or more (picture_black_ratio_th) are black, which are those whose luma is
// at most 10 % of its range above its lowest (pixel_black_th), 37 of 16..235. Every second row is looked at.
// From 2 pictures on; one may be meant.
class BlackMeter {
  public:
    void push(const media::Picture& picture);
    std::vector<FrameRange> stretches() const; // in order

  private:
    Frame at_{0};
    std::vector<FrameRange> found_;
};

// Finds pictures that stand still as FFmpeg's filter freezedetect does, with its tolerance (documentation of FFmpeg's
// filters, "freezedetect", noise -60 dB): the mean difference from the first picture of the stretch is at most 0.001 of
// 256. It differs in that luma alone is compared, and that a stretch counts from half a second on, where that filter
// wants 2 s.
class FreezeMeter {
  public:
    explicit FreezeMeter(Rate rate) : rate_(rate) {}
    void push(const media::Picture& picture);
    std::vector<FrameRange> stretches() const; // in order
    // Is it long enough to be told?
    static bool counts(FrameRange range, Rate rate);

  private:
    bool stands_still(const media::Picture& picture) const;

    Rate rate_;
    Frame at_{0};
    FrameRange now_;                  // the stretch that the last picture is in
    std::vector<std::uint8_t> first_; // luma of its first picture
    std::vector<FrameRange> found_;
};

} // namespace downball::preview
