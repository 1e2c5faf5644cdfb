// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "page/html.h"

#include <algorithm>

namespace downball::page {

std::string percent(Frame at, Frame length) {
    return fmt::format("{:.4f}", 100.0 * static_cast<double>(at.n) /
                                     static_cast<double>(std::max<std::int64_t>(length.n, 1)));
}

} // namespace downball::page
