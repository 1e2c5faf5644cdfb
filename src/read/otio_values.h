// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/read/cut_list.h"
#include "downball/text/json.h"

#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>

// The small objects of OpenTimelineIO, read from JSON of any shape. Every breach is told at a place that exists in
// the text: a member that is missing is told at the object that misses it.
namespace downball::read {

// "Clip.2" in its two parts; without a name where there is no such text.
struct OtioSchema {
    std::string_view name;
    std::string_view version;
};
OtioSchema otio_schema(const text::Json& value);

// A value as a sentence names it: 29.97, "text", "an object".
std::string spelled(const text::Json* value);

// The member if it is a text, else an empty one.
std::string text_of(const text::Json& object, std::string_view member);

// Neither missing, null nor an empty array.
bool holds_something(const text::Json* value);

// The rate of a RationalTime if a list can run at it, from 0.001 to 1000.
std::optional<Rate> usable_rate(const text::Json* time);

struct OtioTime {
    double value = 0; // frames, whole or not
    Rate rate;
    double seconds() const { return value / rate.per_second(); }
};

struct OtioRange {
    double start = 0, length = 0; // frames
    Rate rate;
};

struct RangeRules {
    int missing = 19;  // rule that a missing range breaks
    int fraction = 19; // rule that a fraction of a frame breaks
    bool whole_start = true;
    bool may_be_empty = false;
};

class OtioValues {
  public:
    explicit OtioValues(CutList& list) : list_(list) {}

    CutList& list() { return list_; }
    void breach(std::string place, std::string what, int rule);
    void pass_over(const std::string& place, std::string_view what);

    // Whether the value is an object of that name; of another version than the one in rule 16 it still is, which is a
    // breach. `quiet`: where it is none, the caller says so.
    bool is(const text::Json& value, const std::string& place, std::string_view name, bool quiet = false);

    // Metadata outside our namespace is a breach; members other than those and the name are passed over.
    void look_over(const text::Json& object, const std::string& place,
                   std::initializer_list<std::string_view> members);
    // metadata.downball.<member>, or null.
    static const text::Json* own(const text::Json& object, std::string_view member);

    // The array of that name; null for none. One of another type is a breach.
    const text::JsonArray* array(const text::Json& object, const std::string& place, std::string_view member);
    bool enabled(const text::Json& object, const std::string& place);

    // Nothing where no usable number comes out, which is then a breach.
    std::optional<OtioTime> time(const text::Json& object, const std::string& place, std::string_view member,
                                 int whole);
    std::optional<OtioRange> range(const text::Json& object, const std::string& place,
                                   std::string_view member, RangeRules rules);

    void expect_list_rate(const OtioRange& range, const std::string& place, int rule);

    // A count at that rate in frames of the list, rounded once.
    Frame in_list(double frames, Rate rate) const;
    FrameRange in_list(const OtioRange& range) const; // the start and the length, each rounded once
    // No list and no file runs on for longer; what lies beyond is a slip, and sums stay far from the end of 64 bits.
    Frame longest() const;

  private:
    std::optional<double> number(const text::Json& time, const std::string& place, std::string_view member);

    CutList& list_;
};

} // namespace downball::read
