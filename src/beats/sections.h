// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/bar_content.h"

#include <cstddef>
#include <vector>

namespace downball::beats {

struct Border {
    std::size_t bar = 0;   // the first of its section
    double confidence = 1; // 0..1: that something new begins here
};

// Where sections begin; the first is bar 0, sure. Sections have four bars at least, and borders a multiple of
// four or eight bars from the one before are preferred.
std::vector<Border> section_borders(const BarContent& bars);

} // namespace downball::beats
