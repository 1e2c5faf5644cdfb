// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/timeline.h"
#include "downball/model/warning.h"
#include "downball/preview/flashes.h"

#include <vector>

namespace downball::preview {

// What was measured on a preview's pictures, in words, each with its labels, its shots and its place.
std::vector<Warning> tell_flashes(const Timeline& timeline, const std::vector<FlashStretch>& flashes);

// Black that is none of the timeline's own.
std::vector<FrameRange> unplanned_black(const Timeline& timeline, const std::vector<FrameRange>& black);
// Pictures that stand still and are neither black nor slates. `told`: notes on slates.
std::vector<FrameRange> unplanned_stills(const Timeline& timeline, const std::vector<FrameRange>& frozen,
                                         const std::vector<FrameRange>& black,
                                         const std::vector<Warning>& told);
std::vector<Warning> tell_black(const Timeline& timeline, const std::vector<FrameRange>& black);
std::vector<Warning> tell_frozen(const Timeline& timeline, const std::vector<FrameRange>& frozen);

} // namespace downball::preview
