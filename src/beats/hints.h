// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/bars.h"
#include "beats/reading.h"

#include "downball/beats/beat_finder.h"

#include <vector>

namespace downball::beats {

// What the user says, heeded. Each of these leaves things as they are where nothing was said.

// The range of tempi in which to look: the one tempo said, give or take 6 %, or that of the options.
BeatOptions tempo_range(const BeatOptions& options);

// Where the user hears a downbeat before the first beat or behind the last, beats are counted on evenly that far.

// Puts the reading to the front that has a beat where the user hears one; if none has, moves the best one there.
void heed_downbeat(std::vector<Reading>& found, const BeatOptions& options, double frame_s);

// Every other beat of `frames`, the user's downbeat among them, or a beat more half-way between every two. Fewer than
// 12 stay as they are.
std::vector<double> at_level(const OnsetStrength& onsets, std::vector<double> frames,
                             const BeatOptions& options);

// Bars, with a downbeat on the beat that stands nearest to where the user hears one.
Bars bars_as_said(const BarCues& cues, const std::vector<double>& beats_s, const BeatOptions& options);

} // namespace downball::beats
