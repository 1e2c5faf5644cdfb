// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/timeline.h"

#include <string>
#include <vector>

namespace downball::timeline {

// What readers of the lists may lose, a sentence each: programs that ignore speed changes, and programs that
// tell a speed change from unequal durations only.
std::vector<std::string> losses(const Timeline& timeline);

} // namespace downball::timeline
