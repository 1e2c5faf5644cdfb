// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <string>

namespace downball::solve {

struct LeftOut {
    std::size_t take;
    std::string why;
};

} // namespace downball::solve
