// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

namespace downball::impacts {

struct Scored {
    double seconds = 0;
    double confidence = 0;
    float level = 0;
};

// Hits nearer than `min_gap_s` are one contact, at the first instant that is believable beside the surest
// one: a block touch follows its attack by 20-80 ms (facts of the trade A2.11-A2.12), and both belong to
// one picture. Input and output in order of time.
std::vector<Scored> merge_close(const std::vector<Scored>& scored, double min_gap_s);

} // namespace downball::impacts
