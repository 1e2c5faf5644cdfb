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

} // namespace downball::coverage
