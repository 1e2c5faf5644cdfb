// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "impacts/neighbourhood.h"

namespace downball::impacts {

inline constexpr double kin_reach_s = 12;

// Compares a candidate with those around it that are likely contacts by Feature::first: the same ball on the
// same court sounds much the same each time. Fills the kin features.
void judge_kin(Near& near, std::size_t index);

} // namespace downball::impacts
