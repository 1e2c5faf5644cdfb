// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/time/fraction.h"
#include "downball/time/tick.h"

#include <string>
#include <string_view>

namespace downball {

// Frames or samples a second, exact and positive: 30000/1001, not 29.97.
class Rate {
  public:
    Rate() : value_(25) {}
    explicit Rate(std::int64_t num, std::int64_t den = 1); // num, den > 0 (assert)
    explicit Rate(Fraction value);                         // value > 0 (assert)

    Fraction value() const { return value_; }
    double per_second() const { return value_.to_double(); }
    friend bool operator==(const Rate&, const Rate&) = default;
    friend std::strong_ordering operator<=>(const Rate& a, const Rate& b) { return a.value_ <=> b.value_; }

  private:
    Fraction value_;
};

// The rate that a rounded or measured number stands for: 23.97, 23.976 and 23.98 -> 24000/1001; 29.97 ->
// 30000/1001; 23.999999 -> 24; 30.01 -> 30; 119.88 -> 120000/1001. Candidates are the rates of ITU-R
// BT.709-6, their whole multiples used for high speed (100, 120000/1001, 120, 200, 240000/1001, 240) and 15.
// The nearest one within 0.05 % or 0.01 frames a second is taken; any other number is kept, to a millionth.
Rate snap_rate(double frames_per_second);

// "25", "29.97" (snapped), "30000/1001". Errors: not a number, not positive, above 1000.
Result<Rate> parse_rate(std::string_view text);

// "25", "30000/1001".
std::string to_string(Rate rate);

// Instants. Each function says how it rounds; ties go to the earlier frame, since eyes forgive a picture
// that is early more readily than a late one (ITU-R BT.1359-1). The double forms treat a distance below
// 1e-6 frames from a tie or a whole frame as being on it, so that 0.1 + 0.2 does not move a frame.
Fraction seconds_of(Frame at, Rate rate);
Fraction seconds_of(Sample at, Rate rate);
double to_seconds(Frame at, Rate rate);
double to_seconds(Sample at, Rate rate);
Frame nearest_frame(Fraction seconds, Rate rate); // ties to the earlier
Frame nearest_frame(double seconds, Rate rate);   // ties to the earlier
Frame frame_at(double seconds, Rate rate);        // the frame shown at that instant: rounds down
Frame frame_from(double seconds, Rate rate);      // the first frame not before that instant: rounds up
Sample nearest_sample(double seconds, Rate rate); // ties to the earlier
// A count of frames at one rate as the nearest count at another (ties to the lower).
Frame convert(Frame at, Rate from, Rate to);

} // namespace downball
