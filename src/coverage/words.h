// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/coverage/coverage.h"

#include <string>

namespace downball::coverage {

// A sentence without its end.
std::string in_words(const NextChange& next);
std::string in_words(const Coverage& coverage);

} // namespace downball::coverage
