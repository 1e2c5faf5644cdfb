// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "impacts/neighbourhood.h"

namespace downball::impacts {

inline constexpr double context_reach_s = 5;

// Fills the features that tell crowds from hits: applause is dense, music comes back in equal steps, an echo
// repeats a louder sound.
void judge_context(Near& near, std::size_t index);

} // namespace downball::impacts
