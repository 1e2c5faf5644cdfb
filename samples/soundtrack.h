// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "scenario.h"
#include "synth.h"

namespace downball::sample {

// What the camera's microphones pick up: hits and everything else, each delayed by its way through the air.
// Sample 0 belongs to the take's first picture. Fills snr_db of the take's contacts.
Stereo record_sound(Take& take, const Scenario& scenario);

// The loudspeakers' own music, four beats to the bar at a tempo unlike the reel's song, as it sounds `from_s`
// seconds after midnight.
inline constexpr double stadium_bpm = 108;
Mono stadium_music(double from_s, double length_s);

} // namespace downball::sample
