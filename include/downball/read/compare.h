// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/read/cut_list.h"

namespace downball::read {

// The source frame at a record frame of the event: that in which the middle of the record frame lies, as a player
// shows it.
Frame shown(const ListedEvent& event, Frame record);

// A stretch of record frames that two lists fill with different files, or different frames of one.
struct Difference {
    std::string track;         // of the first list, or of the second where only that has it
    FrameRange record;         // labels
    std::string first, second; // at its first frame: "A012_0003.mp4 01:00:10:04", "black", "nothing"
};

// Frame by frame, a source frame more or less left aside where both speeds are one as far as an M2 line tells: picture tracks
// and sound tracks, each paired in their order. Two events are of one file if their
// reels are the same and no two ASCII names tell otherwise, or their names where no name is that of two reels. Errors: the lists run at different rates.
Result<std::vector<Difference>> compare(const CutList& first, const CutList& second);

} // namespace downball::read
