// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "read/otio_values.h"

#include "downball/base/text.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>

namespace downball::read {

using text::Json;
using text::JsonArray;

namespace {

constexpr double longest_s = 30.0 * 86400;
constexpr double lowest_rate = 0.001;
constexpr double highest_list_rate = 1000;
constexpr double highest_rate = 1e6; // of media; sound counts in samples

// Rule 16.
constexpr std::array<OtioSchema, 10> taken{{{"Timeline", "1"},
                                            {"Stack", "1"},
                                            {"Track", "1"},
                                            {"Clip", "2"},
                                            {"Gap", "1"},
                                            {"Marker", "2"},
                                            {"LinearTimeWarp", "1"},
                                            {"ExternalReference", "1"},
                                            {"RationalTime", "1"},
                                            {"TimeRange", "1"}}};

std::string_view taken_version(std::string_view name) {
    for (const OtioSchema& schema : taken)
        if (schema.name == name) return schema.version;
    return {};
}

std::string at(const std::string& place, std::string_view member) {
    return fmt::format("{}/{}", place, member);
}

} // namespace

OtioSchema otio_schema(const Json& value) {
    const Json* schema = value.find("OTIO_SCHEMA");
    if (!schema || !schema->is_string()) return {};
    const std::string_view text = schema->string();
    const auto dot = text.rfind('.');
    if (dot == std::string_view::npos) return {text, {}};
    return {text.substr(0, dot), text.substr(dot + 1)};
}

std::string spelled(const Json* value) {
    constexpr std::size_t short_enough = 100;
    if (!value) return "nothing";
    if (value->is_array()) return "an array";
    if (value->is_object()) {
        const Json* schema = value->find("OTIO_SCHEMA");
        return schema && schema->is_string() ? spelled(schema) : "an object without OTIO_SCHEMA";
    }
    if (value->is_string() && value->string().size() > short_enough)
        return fmt::format("a text of {} bytes", value->string().size());
    return std::string(trim(text::to_text(*value)));
}

std::string text_of(const Json& object, std::string_view member) {
    const Json* found = object.find(member);
    return found && found->is_string() ? found->string() : std::string();
}

bool holds_something(const Json* value) {
    return value && !value->is_null() && !(value->is_array() && value->array().empty());
}

std::optional<Rate> usable_rate(const Json* time) {
    const Json* rate = time ? time->find("rate") : nullptr;
    if (!rate || !rate->is_number()) return std::nullopt;
    if (rate->number() < lowest_rate || rate->number() > highest_list_rate) return std::nullopt;
    return snap_rate(rate->number());
}

void OtioValues::breach(std::string place, std::string what, int rule) {
    list_.breaches.push_back({std::move(place), std::move(what), rule});
}

void OtioValues::pass_over(const std::string& place, std::string_view what) {
    list_.passed_over.push_back(fmt::format("{}: {}", place, what));
}

bool OtioValues::is(const Json& value, const std::string& place, std::string_view name, bool quiet) {
    const OtioSchema schema = otio_schema(value);
    const std::string_view version = taken_version(name);
    const bool same = schema.name == name;
    if ((same && schema.version != version) || (!same && !quiet))
        breach(place, fmt::format("found {}, expected {}.{}", spelled(&value), name, version), 16);
    return same;
}

void OtioValues::look_over(const Json& object, const std::string& place,
                           std::initializer_list<std::string_view> members) {
    if (!object.is_object()) return;
    for (const auto& [key, value] : object.object()) {
        const bool known = std::ranges::find(members, key) != members.end();
        if (key == "OTIO_SCHEMA" || known) continue;
        if (key == "name") {
            if (!value.is_string() && !value.is_null())
                breach(at(place, key), fmt::format("found {} for the name, expected a text", spelled(&value)),
                       16);
        } else if (key != "metadata") {
            if (holds_something(&value))
                pass_over(place + text::pointer({key}), fmt::format("{} is not looked at", spelled(&value)));
        } else if (!value.is_object()) {
            if (!value.is_null())
                breach(at(place, key), fmt::format("found {}, expected an object", spelled(&value)), 24);
        } else {
            for (const auto& [space, inner] : value.object()) {
                const std::string there = at(place, key) + text::pointer({space});
                if (space != "downball")
                    breach(there, "metadata outside the name \"downball\"", 24);
                else if (!inner.is_object())
                    breach(there, fmt::format("found {}, expected an object", spelled(&inner)), 24);
            }
        }
    }
}

const Json* OtioValues::own(const Json& object, std::string_view member) {
    const Json* metadata = object.find("metadata");
    const Json* ours = metadata ? metadata->find("downball") : nullptr;
    return ours ? ours->find(member) : nullptr;
}

const JsonArray* OtioValues::array(const Json& object, const std::string& place, std::string_view member) {
    const Json* found = object.find(member);
    if (!found || found->is_null()) return nullptr;
    if (found->is_array()) return &found->array();
    breach(at(place, member), fmt::format("found {}, expected an array", spelled(found)), 16);
    return nullptr;
}

bool OtioValues::enabled(const Json& object, const std::string& place) {
    const Json* found = object.find("enabled");
    if (!found) return true;
    if (found->is_bool()) return found->boolean();
    breach(at(place, "enabled"), fmt::format("found {}, expected true or false", spelled(found)), 16);
    return true;
}

std::optional<double> OtioValues::number(const Json& time, const std::string& place,
                                         std::string_view member) {
    const Json* found = time.find(member);
    if (found && found->is_number()) return found->number();
    breach(found ? at(place, member) : place,
           fmt::format("found {} for the {}, expected a number", spelled(found), member), 18);
    return std::nullopt;
}

std::optional<OtioTime> OtioValues::time(const Json& object, const std::string& place,
                                         std::string_view member, int whole) {
    const Json* found = object.find(member);
    const std::string there = found ? at(place, member) : place;
    if (!found || !found->is_object()) {
        breach(there, fmt::format("found {} for {}, expected RationalTime.1", spelled(found), member), 18);
        return std::nullopt;
    }
    is(*found, there, "RationalTime");
    const auto value = number(*found, there, "value");
    const auto rate = number(*found, there, "rate");
    if (!value || !rate) return std::nullopt;
    if (*rate < lowest_rate || *rate > highest_rate) {
        breach(at(there, "rate"), fmt::format("found the rate {}, expected frames a second above 0", *rate),
               18);
        return std::nullopt;
    }
    const Rate exact = snap_rate(*rate);
    // A rate that is none of those in use is kept to a millionth: there is no spelling in full to ask for.
    const bool in_use = exact.value().den() == 1 || exact.value().den() == 1001;
    if (in_use && std::abs(exact.per_second() - *rate) > 1e-9)
        breach(at(there, "rate"),
               fmt::format("found the rate {}, expected it in full: {}", *rate, exact.per_second()), 18);
    if (std::abs(*value) / *rate > longest_s) {
        breach(at(there, "value"), fmt::format("found {}, which lies more than 30 days off", *value), 26);
        return std::nullopt;
    }
    if (whole != 0 && *value != std::floor(*value))
        breach(at(there, "value"), fmt::format("found {}, expected whole frames", *value), whole);
    return OtioTime{*value, exact};
}

std::optional<OtioRange> OtioValues::range(const Json& object, const std::string& place,
                                           std::string_view member, RangeRules rules) {
    const Json* found = object.find(member);
    const std::string there = found ? at(place, member) : place;
    if (!found || !found->is_object()) {
        breach(there, fmt::format("found {} for {}, expected TimeRange.1", spelled(found), member),
               rules.missing);
        return std::nullopt;
    }
    is(*found, there, "TimeRange");
    const auto start = time(*found, there, "start_time", rules.whole_start ? rules.fraction : 0);
    const auto length = time(*found, there, "duration", rules.fraction);
    if (!start || !length) return std::nullopt;
    if (start->rate != length->rate)
        breach(there,
               fmt::format("start at the rate {}, duration at {}; expected one rate", to_string(start->rate),
                           to_string(length->rate)),
               18);
    if (length->value < 0 || (length->value == 0 && !rules.may_be_empty)) {
        breach(there, fmt::format("found the duration {}, expected one above 0", length->value), 26);
        return std::nullopt;
    }
    const bool one_rate = start->rate == length->rate;
    return OtioRange{one_rate ? start->value : start->seconds() * length->rate.per_second(), length->value,
                     length->rate};
}

Frame OtioValues::in_list(double frames, Rate rate) const {
    if (rate == list_.rate && frames == std::floor(frames)) return {static_cast<std::int64_t>(frames)};
    return nearest_frame(frames / rate.per_second(), list_.rate);
}

FrameRange OtioValues::in_list(const OtioRange& range) const {
    const Frame in = in_list(range.start, range.rate);
    return {in, in + in_list(range.length, range.rate)};
}

void OtioValues::expect_list_rate(const OtioRange& range, const std::string& place, int rule) {
    if (range.rate == list_.rate) return;
    breach(place,
           fmt::format("found the rate {}, expected the timeline's: {}", to_string(range.rate),
                       to_string(list_.rate)),
           rule);
}

Frame OtioValues::longest() const {
    return frame_at(longest_s, list_.rate);
}

} // namespace downball::read
