// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/page/page.h"

#include <string>

namespace downball::page {

// As an element of the page.
std::string image(const Still& still, const std::string& alt);

} // namespace downball::page
