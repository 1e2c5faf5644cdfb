// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "page/html.h"

#include "downball/time/timecode.h"

#include <algorithm>

namespace downball::page {

std::string label(const Timeline& timeline, Frame at) {
    const Frame day =
        has_timecode(timeline.rate) ? wrap_day(timeline.start + at, timeline.rate, timeline.counting) : at;
    const auto text = to_timecode(day, timeline.rate, timeline.counting);
    return text ? *text : fmt::format("frame {}", at.n);
}

std::string percent(Frame at, Frame length) {
    return fmt::format("{:.4f}", 100.0 * static_cast<double>(at.n) /
                                     static_cast<double>(std::max<std::int64_t>(length.n, 1)));
}

} // namespace downball::page
