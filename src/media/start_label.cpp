// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/start_label.h"

#include "downball/base/text.h"

#include <array>
#include <string_view>

namespace downball::media {

namespace {

std::optional<Frame> count_straight(std::string_view label, Rate rate) {
    std::array<std::int64_t, 4> fields{};
    std::size_t field = 0, digits = 0;
    for (const char c : label) {
        if (c >= '0' && c <= '9') {
            if (++digits > 3) return std::nullopt;
            fields[field] = fields[field] * 10 + (c - '0');
        } else if (c == ':' || (field == 2 && (c == ';' || c == '.'))) {
            if (digits == 0 || ++field > 3) return std::nullopt;
            digits = 0;
        } else {
            return std::nullopt;
        }
    }
    const auto nominal = ceil(rate.value());
    const auto [hours, minutes, seconds, frames] = fields;
    if (field != 3 || digits == 0) return std::nullopt;
    if (hours > 23 || minutes > 59 || seconds > 59 || frames >= nominal) return std::nullopt;
    return Frame{((hours * 60 + minutes) * 60 + seconds) * nominal + frames};
}

} // namespace

std::optional<StartTimecode> read_start_label(const std::string& label, Rate rate) {
    const auto text = trim(label);
    StartTimecode start{std::string(text), {}, rate, Counting::non_drop};
    if (!has_timecode(rate)) {
        const auto at = count_straight(text, rate);
        if (!at) return std::nullopt;
        start.at = *at;
        return start;
    }
    const auto separator = text.size() > 8 ? text[8] : ':';
    if ((separator == ';' || separator == '.') && has_drop_frame(rate)) start.counting = Counting::drop;
    const auto at = from_timecode(text, rate, start.counting);
    if (!at) return std::nullopt;
    start.at = *at;
    return start;
}

} // namespace downball::media
