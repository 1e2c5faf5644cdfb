// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/time/rate.h"

#include "downball/base/text.h"

#include <array>
#include <cassert>
#include <cmath>
#include <fmt/format.h>
#include <optional>

namespace downball {

namespace {

constexpr double near_tie = 1e-6; // frames

// Floor and ceiling that take a number a hair off a whole one for the whole one.
Frame forgiving_floor(double frames) {
    return {static_cast<std::int64_t>(std::floor(frames + near_tie))};
}
Frame forgiving_ceil(double frames) {
    return {static_cast<std::int64_t>(std::ceil(frames - near_tie))};
}

} // namespace

Rate::Rate(std::int64_t num, std::int64_t den) : value_(num, den) {
    assert(value_ > Fraction(0));
}

Rate::Rate(Fraction value) : value_(value) {
    assert(value_ > Fraction(0));
}

Rate snap_rate(double frames_per_second) {
    static const std::array known{
        Rate(15),  Rate(24000, 1001), Rate(24),           Rate(25), Rate(30000, 1001), Rate(30),
        Rate(48),  Rate(50),          Rate(60000, 1001),  Rate(60), Rate(100),         Rate(120000, 1001),
        Rate(120), Rate(200),         Rate(240000, 1001), Rate(240)};
    std::optional<Rate> nearest;
    double least = std::max(0.01, frames_per_second * 0.0005) + 1e-9;
    for (const Rate& rate : known) {
        const double distance = std::abs(rate.per_second() - frames_per_second);
        if (distance < least) {
            nearest = rate;
            least = distance;
        }
    }
    if (nearest) return *nearest;
    return Rate(std::llround(frames_per_second * 1e6), 1'000'000);
}

Result<Rate> parse_rate(std::string_view text) {
    const auto complain = [&](std::string_view found) {
        return Error{
            Fault::bad_input,
            fmt::format("found the rate \"{}\" ({}); expected frames a second above 0 and up to 1000, "
                        "as 25, 29.97 or 30000/1001",
                        text, found),
            ""};
    };
    const auto slash = text.find('/');
    if (slash != std::string_view::npos) {
        const auto num = parse_integer(text.substr(0, slash));
        const auto den = parse_integer(text.substr(slash + 1));
        if (!num || !den) return complain("no fraction of whole numbers");
        if (*num <= 0 || *den <= 0) return complain("not above 0");
        if (*num / *den > 1000 || (*num / *den == 1000 && *num % *den != 0)) return complain("above 1000");
        return Rate(*num, *den);
    }
    const auto number = parse_number(text);
    if (!number) return complain("no number");
    if (*number < 1e-3) return complain("not above 0");
    if (*number > 1000) return complain("above 1000");
    return snap_rate(*number);
}

std::string to_string(Rate rate) {
    const auto value = rate.value();
    return value.den() == 1 ? fmt::format("{}", value.num()) : fmt::format("{}/{}", value.num(), value.den());
}

Fraction seconds_of(Frame at, Rate rate) {
    return Fraction(at.n) / rate.value();
}

Fraction seconds_of(Sample at, Rate rate) {
    return Fraction(at.n) / rate.value();
}

double to_seconds(Frame at, Rate rate) {
    return static_cast<double>(at.n) * static_cast<double>(rate.value().den()) /
           static_cast<double>(rate.value().num());
}

double to_seconds(Sample at, Rate rate) {
    return to_seconds(Frame{at.n}, rate);
}

Frame nearest_frame(Fraction seconds, Rate rate) {
    return {round_half_down(seconds * rate.value())};
}

Frame nearest_frame(double seconds, Rate rate) {
    return forgiving_ceil(seconds * rate.per_second() - 0.5);
}

Frame frame_at(double seconds, Rate rate) {
    return forgiving_floor(seconds * rate.per_second());
}

Frame frame_from(double seconds, Rate rate) {
    return forgiving_ceil(seconds * rate.per_second());
}

Sample nearest_sample(double seconds, Rate rate) {
    return {nearest_frame(seconds, rate).n};
}

Frame convert(Frame at, Rate from, Rate to) {
    return nearest_frame(seconds_of(at, from), to);
}

} // namespace downball
