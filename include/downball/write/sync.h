// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/beat_grid.h"
#include "downball/model/cut_plan.h"
#include "downball/model/shot_log.h"
#include "downball/model/timeline.h"

namespace downball::write {

// An anchored contact as the lists deliver it. Record seconds count from record start; errors are positive
// where the picture comes after the beat.
struct DeliveredAnchor {
    double beat_record_s = 0;
    double shown_record_s = 0;
    double error_s = 0;
    double error_frames = 0;    // of record
    double m2_error_frames = 0; // for a reader that goes by the M2 line's one decimal
    bool holds = false;         // within half a record frame
    bool holds_with_m2 = false;
};

// A picture may be so much late, that is its sound early, or so much early before anybody notices: the limits of
// detectability of Rec. ITU-R BT.1359-1.
inline constexpr double picture_late_s = 0.045, picture_early_s = 0.125;
// Beyond these by more than a hair: 3 frames at 24 are 125 ms, which holds.
inline bool noticed(double error_s) {
    return error_s > picture_late_s + 1e-6 || error_s < -picture_early_s - 1e-6;
}

DeliveredAnchor delivered(const Timeline& timeline, const VideoEvent& event, const Impact& impact,
                          const Beat& beat);
// By that one of a shot's parts that shows it.
DeliveredAnchor delivered(const Timeline& timeline, const std::vector<VideoEvent>& parts,
                          const Impact& impact, const Beat& beat);

// Song instant at record frame 0, as the song's event has it.
double song_offset_s(const Timeline& timeline);

} // namespace downball::write
