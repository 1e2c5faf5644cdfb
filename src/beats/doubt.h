// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/reading.h"

#include "downball/model/beat_grid.h"

#include <vector>

namespace downball::beats {

// 0..1, see BeatGrid::confidence; of the first of the readings, which are in order.
double confidence_of(const std::vector<Reading>& found);

// See BeatGrid::other_tempi. Readings within 4 % of the first one's tempo are not others.
std::vector<OtherTempo> other_tempi(const std::vector<Reading>& found, double frame_s);

} // namespace downball::beats
