// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/job/job.h"
#include "downball/shotlog/log.h"

namespace downball::pipeline {

// Gives the silent clips of cameras with `sound_from` the contacts that the other camera, or a recorder, heard in
// their time, as hearings of the footage. That needs clocks which agree to the frame: both cameras' files carry time-of-day
// timecode, brought together by `clock_offset_s` where they differ. Clocks that are only read to a second lend
// nothing, and a note says so.
void lend_sound(const shotlog::Log& log, const job::Job& job, shotlog::Footage& footage);

} // namespace downball::pipeline
