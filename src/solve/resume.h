// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/cut.h"

#include <optional>

namespace downball::solve {

// The last cut as one of this problem, which need not keep its limits; nothing if one of its shots cannot be had any
// more, the song has no beat where it hung, or the length is another.
std::optional<Cut> resume(const Setting& setting);

} // namespace downball::solve
