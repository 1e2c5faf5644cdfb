// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/cut.h"

namespace downball::solve {

enum class Packed { yes, no, unsure };

// Gives the shots without contact of a whole cut their sources, beside those of its actions, which stand, and
// those that locks name: in the middle of their takes where that is free, or else as far to the front as they
// go, in every order of the shots of one file. Unsure: the orders are too many to be tried. `tries` grows by the
// shots that were placed.
Packed give_sources(const Setting& setting, const std::vector<Pin>& pins, Cut& cut, double& tries);

} // namespace downball::solve
