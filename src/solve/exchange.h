// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/construct.h"

#include "downball/base/long_work.h"

namespace downball::solve {

// Makes a cut better by exchange, each step judged by the exact score and all limits: a take put in another's
// place, two takes swapped, and windows of shots built anew (borders move there). Ends when a round brings
// nothing, or after `rounds`.
struct ExchangeOptions {
    int rounds = 3;
    std::size_t window = 6; // shots rebuilt at a time
    BeamWidth width{12, 16};
};
void improve(const Setting& setting, const Constructor& constructor, Cut& cut, const ExchangeOptions& options,
             const LongWork& work);

} // namespace downball::solve
