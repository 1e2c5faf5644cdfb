// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "page/shots.h"

#include <string>
#include <vector>

namespace downball::page {

// The song from record start to end, and under it what lies on it: shots, how far contacts are from their beats, how
// quick the cutting is. All lanes have one scale.
std::string lanes(const PageInput& input, const std::vector<Shown>& shots);

} // namespace downball::page
