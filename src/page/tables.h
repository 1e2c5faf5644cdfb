// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "page/shots.h"

#include <string>

namespace downball::page {

std::string warnings(const PageInput& input);
std::size_t warnings_told(const PageInput& input); // lines of it
std::string score(const CutPlan& plan);
std::string coverage_tables(const PageInput& input);
std::string left_out(const PageInput& input);

} // namespace downball::page
