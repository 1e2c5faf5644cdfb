// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/model/timeline.h"

#include <fmt/format.h>

namespace downball {

std::string record_label(const Timeline& timeline, Frame at) {
    if (!has_timecode(timeline.rate)) return fmt::format("frame {}", at.n);
    const Frame day = wrap_day(timeline.start + at, timeline.rate, timeline.counting);
    const auto text = to_timecode(day, timeline.rate, timeline.counting);
    return text ? *text : fmt::format("frame {}", at.n);
}

} // namespace downball
