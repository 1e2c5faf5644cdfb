// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/coverage/coverage.h"

#include <string>
#include <vector>

namespace downball::coverage {

// What comes first, then what else is to be known; sentences without their ends, a line each.
std::vector<std::string> in_words(const NextChange& next);
// A sentence without its end.
std::string in_words(const Coverage& coverage);

// Who has the serve: the player, or else the team.
inline const std::string& serve_of(const Rally& rally) {
    return rally.server.empty() ? rally.serving : rally.server;
}

} // namespace downball::coverage
