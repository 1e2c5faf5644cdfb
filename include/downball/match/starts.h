// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/shot_log.h"

#include <optional>
#include <vector>

namespace downball::match {

// Set and points when a take's rally began, its own or those of the first take of its moment that has them; by take,
// nothing where neither is said.
struct Start {
    int set = 0;
    Score score;
};
std::vector<std::optional<Start>> rally_starts(const std::vector<Take>& takes);

} // namespace downball::match
