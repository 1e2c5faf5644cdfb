// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/construct.h"

#include "downball/base/long_work.h"

namespace downball::solve {

// One round of exchange: `window` shots are rebuilt at a time.
struct Round {
    std::size_t window = 6;
    BeamWidth width;
};

// Makes a cut better by exchange, each step judged by the exact score and all limits: a take put in another's
// place, two takes swapped, and windows of shots built anew (borders move there).
void improve(const Setting& setting, const Constructor& constructor, Cut& cut,
             const std::vector<Round>& rounds, const LongWork& work);

} // namespace downball::solve
