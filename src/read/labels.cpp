// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "read/labels.h"

#include <cmath>
#include <fmt/format.h>

namespace downball::read {

Frame in_day(Frame at, const CutList& list) {
    return has_timecode(list.rate) ? wrap_day(at, list.rate, list.counting) : at;
}

std::string label_text(Frame at, const CutList& list) {
    if (!has_timecode(list.rate)) return fmt::format("frame {}", at.n);
    const auto label = to_timecode(in_day(at, list), list.rate, list.counting);
    return label ? *label : fmt::format("frame {}", at.n);
}

bool same_clock(Rate a, Rate b) {
    return std::ceil(a.per_second() - 1e-6) == std::ceil(b.per_second() - 1e-6);
}

} // namespace downball::read
