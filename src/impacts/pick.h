// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "impacts/curve_model.h"

#include <vector>

namespace downball::impacts {

// A candidate after all judgements of its sound: the little that is kept of it.
struct Scored {
    double seconds = 0;
    double log_odds = 0;      // of being a contact
    float level = 0;          // as Candidate::level
    float clear = 0;          // clearness() of its features
    double hard_log_odds = 0; // of being a hard one, if it is a contact
};

Scored scored_of(const Models& models, const Candidate& candidate);

// Hits nearer than `min_gap_s` are one contact, at the first instant that is believable beside the surest
// one: a block touch follows its attack by 20-80 ms (facts of the trade A2.11-A2.12), and both belong to
// one picture. Input and output in order of time.
std::vector<Scored> merge_close(const std::vector<Scored>& scored, double min_gap_s);

} // namespace downball::impacts
