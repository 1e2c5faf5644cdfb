// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/splitmix64.h"

#include <cstddef>

namespace downball::solve {

class Dice : public SplitMix64 {
  public:
    using SplitMix64::SplitMix64;

    std::size_t below(std::size_t n) {
        return static_cast<std::size_t>((next() >> 32) * static_cast<std::uint64_t>(n) >> 32);
    }
};

} // namespace downball::solve
