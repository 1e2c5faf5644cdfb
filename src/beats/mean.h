// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <vector>

namespace downball::beats {

// Of x[from, to); 0 where that is empty.
inline double mean(const std::vector<double>& x, std::size_t from, std::size_t to) {
    double sum = 0;
    for (std::size_t i = from; i < to; ++i)
        sum += x[i];
    return to > from ? sum / static_cast<double>(to - from) : 0;
}

} // namespace downball::beats
