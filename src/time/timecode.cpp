// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/time/timecode.h"

#include <fmt/format.h>
#include <optional>

namespace downball {

namespace {

// Labels count whole frames: 30 to a second at 30000/1001.
std::int64_t nominal(Rate rate) {
    return ceil(rate.value());
}

// Numbers skipped at each minute that is not a multiple of ten: 2 at 30, 4 at 60.
std::int64_t skipped(Rate rate, Counting counting) {
    return counting == Counting::drop ? nominal(rate) / 15 : 0;
}

std::optional<Error> refuse(Rate rate, Counting counting) {
    if (!has_timecode(rate))
        return Error{
            Fault::bad_input,
            fmt::format("{} frames a second have no timecode; use 24000/1001, 24, 25, 30000/1001, 30, 48, "
                        "50, 60000/1001 or 60",
                        to_string(rate)),
            ""};
    if (counting == Counting::drop && !has_drop_frame(rate))
        return Error{Fault::bad_input,
                     fmt::format("drop frame is not defined at {} frames a second; it is for 30000/1001 and "
                                 "60000/1001, use non-drop here",
                                 to_string(rate)),
                     ""};
    return std::nullopt;
}

// The two digits at `at`, or nothing.
std::optional<std::int64_t> digits(std::string_view label, std::size_t at) {
    const auto digit = [&](std::size_t i) { return label[i] >= '0' && label[i] <= '9'; };
    if (!digit(at) || !digit(at + 1)) return std::nullopt;
    return (label[at] - '0') * 10 + (label[at + 1] - '0');
}

} // namespace

bool has_timecode(Rate rate) {
    for (const auto whole : {24, 25, 30, 48, 50, 60})
        if (rate == Rate(whole)) return true;
    return rate == Rate(24000, 1001) || has_drop_frame(rate);
}

bool has_drop_frame(Rate rate) {
    return rate == Rate(30000, 1001) || rate == Rate(60000, 1001);
}

Frame day_length(Rate rate, Counting counting) {
    const auto per_ten_minutes = 600 * nominal(rate) - 9 * skipped(rate, counting);
    return {144 * per_ten_minutes};
}

Result<std::string> to_timecode(Frame at, Rate rate, Counting counting) {
    if (auto error = refuse(rate, counting)) return *error;
    if (at.n < 0)
        return Error{Fault::bad_input,
                     fmt::format("frame {} has no timecode: it lies before 00:00:00:00", at.n), ""};
    if (at >= day_length(rate, counting))
        return Error{Fault::bad_input,
                     fmt::format("frame {} has no timecode: a day at {} frames a second ends after {} frames",
                                 at.n, to_string(rate), day_length(rate, counting).n),
                     ""};

    const auto fps = nominal(rate);
    const auto skip = skipped(rate, counting);
    const auto per_minute = 60 * fps - skip; // but for the first of ten, which skips none
    const auto per_ten_minutes = 10 * per_minute + skip;
    const auto tens = at.n / per_ten_minutes;
    const auto rest = at.n % per_ten_minutes;
    const auto minutes_begun = rest < 60 * fps ? 0 : 1 + (rest - 60 * fps) / per_minute;
    const auto number = at.n + skip * (9 * tens + minutes_begun);

    const auto seconds = number / fps;
    return fmt::format("{:02}:{:02}:{:02}{}{:02}", seconds / 3600, seconds / 60 % 60, seconds % 60,
                       counting == Counting::drop ? ';' : ':', number % fps);
}

Result<Frame> from_timecode(std::string_view label, Rate rate, Counting counting) {
    if (auto error = refuse(rate, counting)) return *error;
    const auto complain = [&](std::string_view why) {
        return Error{Fault::bad_input, fmt::format("found the timecode \"{}\": {}", label, why), ""};
    };
    constexpr std::string_view frame_separators = ":;.";
    if (label.size() != 11 || label[2] != ':' || label[5] != ':' ||
        frame_separators.find(label[8]) == std::string_view::npos)
        return complain("expected HH:MM:SS:FF");
    const auto hours = digits(label, 0), minutes = digits(label, 3), seconds = digits(label, 6),
               frames = digits(label, 9);
    if (!hours || !minutes || !seconds || !frames) return complain("expected HH:MM:SS:FF");
    const auto fps = nominal(rate);
    if (*hours > 23) return complain("expected hours from 00 to 23");
    if (*minutes > 59) return complain("expected minutes from 00 to 59");
    if (*seconds > 59) return complain("expected seconds from 00 to 59");
    if (*frames >= fps)
        return complain(fmt::format("expected frames from 00 to {:02} at {}", fps - 1, to_string(rate)));

    const auto skip = skipped(rate, counting);
    if (*frames < skip && *seconds == 0 && *minutes % 10 != 0)
        return complain(fmt::format("drop frame skips this label; the next one is {:02}:{:02}:00;{:02}",
                                    *hours, *minutes, skip));
    const auto total_minutes = 60 * *hours + *minutes;
    const auto number = (60 * total_minutes + *seconds) * fps + *frames;
    return Frame{number - skip * (total_minutes - total_minutes / 10)};
}

Frame wrap_day(Frame at, Rate rate, Counting counting) {
    const auto day = day_length(rate, counting).n;
    return {(at.n % day + day) % day};
}

} // namespace downball
