// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/onset_strength.h"

#include <vector>

namespace downball::beats {

// The grid of one tempo, within 1.5 % of the period asked for, on whose places the most begins, from the first
// sound to the last. It looks at the song as a whole, so that no breakdown can lead it astray. None for less than
// 8 beats, nor for more than 15 minutes: that is a set, not a song.
std::vector<double> rigid_grid(const OnsetStrength& onsets, double period_s);

} // namespace downball::beats
