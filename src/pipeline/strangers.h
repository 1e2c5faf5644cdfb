// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/limits.h"
#include "downball/model/shot_log.h"

#include <string>
#include <vector>

namespace downball::pipeline {

// A sentence for each player of variety.players whom no take has, as a rule a slip of the hand, with the
// nearest of those that the log has.
std::vector<std::string> strangers(const Variety& variety, const ShotLog& log);

} // namespace downball::pipeline
