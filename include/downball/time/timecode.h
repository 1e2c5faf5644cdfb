// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/time/rate.h"
#include "downball/time/tick.h"

#include <string>
#include <string_view>

namespace downball {

// Drop frame leaves out frame *numbers* 00 and 01 (00-03 at 60000/1001) at each minute that is not a
// multiple of ten, so that labels keep to the clock; no picture is dropped. SMPTE ST 12-1.
enum class Counting { non_drop, drop };

// Rates that have timecode labels: 24000/1001, 24, 25, 30000/1001, 30, 48, 50, 60000/1001, 60.
// 100, 120000/1001 and 120 have none.
bool has_timecode(Rate rate);
// Drop frame exists for 30000/1001 and 60000/1001 only.
bool has_drop_frame(Rate rate);

// Frames in 24 hours of labels: 2589408 for drop frame at 30000/1001.
Frame day_length(Rate rate, Counting counting);

// HH:MM:SS:FF, in drop frame HH:MM:SS;FF. Errors: a rate without timecode, drop frame at a rate that has
// none, a negative frame, a frame of the 24th hour or later (wrap_day first where a clip may cross midnight).
Result<std::string> to_timecode(Frame at, Rate rate, Counting counting);

// The inverse. ':' ';' and '.' are accepted before FF; the counting comes from the argument, never from the
// separator. Errors: as above, labels that drop frame skips, fields out of range, text of another form.
Result<Frame> from_timecode(std::string_view label, Rate rate, Counting counting);

// The frame within its day, for clips that run over 24:00:00:00.
Frame wrap_day(Frame at, Rate rate, Counting counting);

} // namespace downball
