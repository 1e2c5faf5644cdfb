// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/beat_content.h"

#include <vector>

namespace downball::beats {

struct Bars {
    int beats_per_bar = 0;
    std::vector<int> position; // 1 = downbeat
    double confidence = 0;     // 0..1
};

// `three` and `four`: how alike beats three and four apart are (Reading::alike).
Bars find_bars(const BeatContent& content, double three, double four);

} // namespace downball::beats
