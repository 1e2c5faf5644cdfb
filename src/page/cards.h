// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "page/shots.h"

#include <string>
#include <vector>

namespace downball::page {

// The shots one by one, with the pictures at their cuts and contacts.
std::string cards(const PageInput& input, const std::vector<Shown>& shots);

} // namespace downball::page
