// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/coverage/coverage.h"

namespace downball::coverage {

// What the grids lack, by what it would add. Estimates, in points of the score (solve/terms.h): a player or skill that no take
// shows is missing from `coverage`; an opening or a last face from `story`; a face after a rally from `reaction`; anything else
// makes `variety` by the fewer there are of its kind.
std::vector<Gap> find_gaps(const Footage& footage, const Coverage& coverage);

} // namespace downball::coverage
