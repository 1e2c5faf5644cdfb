// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/read/cut_list.h"

namespace downball::read {

// The timecode of a frame of the list, in its day; at rates without timecode, the bare frame number.
std::string label_text(Frame at, const CutList& list);

// The frame in its day; at rates without timecode as it is.
Frame in_day(Frame at, const CutList& list);

// Do both count the same frames a second in their labels? 23.976 and 24 do: an EDL does not tell them apart.
bool same_clock(Rate a, Rate b);

} // namespace downball::read
