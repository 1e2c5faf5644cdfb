// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/bar_content.h"
#include "beats/sections.h"

#include <cstddef>
#include <vector>

namespace downball::beats {

struct Phrasing {
    std::vector<std::size_t> first; // bar each phrase begins on, the first is 0
    int bars = 8;                   // of a whole phrase: 8, 16 or 32
    double confidence = 0;          // 0..1: that more begins on these bars than on the others
};

// Phrases of 8 bars, or of 16 or 32 where the bars in their middle give no sign of a new one. A section begins a
// phrase, so that the one before may be short, unless it is so unsure that the phrases go on over it.
Phrasing find_phrases(const BarContent& bars, const std::vector<Border>& sections);

} // namespace downball::beats
