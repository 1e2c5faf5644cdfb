// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/bar_content.h"

namespace downball::beats {

// How plainly the bars [from, at) differ from [at, to): the checkerboard kernel over the matrix of distances
// (Foote, "Automatic audio segmentation using a measure of audio novelty", ICME 2000), as the mean distance
// across less the mean within, here in units of the latter. 0 = no more than they differ among themselves;
// 1 and more = plainly. Looks at most eight bars to either side; without a bar on one of them it is 0.
double novelty(const BarContent& bars, std::size_t from, std::size_t at, std::size_t to);

} // namespace downball::beats
