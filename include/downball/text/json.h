// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"

#include <cassert>
#include <concepts>
#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

namespace downball::text {

class Json;
using JsonArray = std::vector<Json>;
// Members in the order they were written, each key once.
using JsonObject = std::vector<std::pair<std::string, Json>>;

// A JSON value (RFC 8259) as plain data, so that the JSON library stays inside this room. Whole numbers that
// fit keep their exactness; all other numbers are doubles and always finite.
class Json {
  public:
    Json() = default; // null
    Json(std::nullptr_t) {}
    Json(bool value) : value_(value) {}
    // Any whole number; one that does not fit 64 signed bits is a broken promise (assert).
    template <class T>
    requires(std::integral<T> && !std::same_as<T, bool>) Json(T value)
        : value_(static_cast<std::int64_t>(value)) {
        assert(std::in_range<std::int64_t>(value));
    }
    Json(double value) : value_(value) {}
    Json(const char* value) : value_(std::string(value)) {}
    Json(std::string_view value) : value_(std::string(value)) {}
    Json(std::string value) : value_(std::move(value)) {}
    Json(JsonArray value) : value_(std::move(value)) {}
    Json(JsonObject value) : value_(std::move(value)) {}

    bool is_null() const { return std::holds_alternative<std::monostate>(value_); }
    bool is_bool() const { return std::holds_alternative<bool>(value_); }
    bool is_integer() const { return std::holds_alternative<std::int64_t>(value_); }
    bool is_number() const { return is_integer() || std::holds_alternative<double>(value_); }
    bool is_string() const { return std::holds_alternative<std::string>(value_); }
    bool is_array() const { return std::holds_alternative<JsonArray>(value_); }
    bool is_object() const { return std::holds_alternative<JsonObject>(value_); }

    // The value as that type; asking for another type than it holds is a broken promise (assert).
    bool boolean() const;
    std::int64_t integer() const; // also of a double that is whole, as the schemas take 25.0 for an integer
    double number() const;
    const std::string& string() const;
    const JsonArray& array() const;
    JsonArray& array();
    const JsonObject& object() const;
    JsonObject& object();

    // The member of an object, or null if there is none or this is no object.
    const Json* find(std::string_view key) const;
    // Adds a member; the key must be new.
    Json& add(std::string key, Json value);

  private:
    std::variant<std::monostate, bool, std::int64_t, double, std::string, JsonArray, JsonObject> value_;
};

// The place of a value inside another as RFC 6901 writes it: "/cameras/A~1B/name".
std::string pointer(const std::vector<std::string>& path);

// Strict JSON in UTF-8: no BOM, comments, trailing commas, double keys, NaN or infinity, and nothing nested
// deeper than 200. Errors are Fault::bad_input with where = "name:line" ("job.json:12"), and the column in
// the text of the error.
Result<Json> parse_json(std::string_view text, const std::string& name);

// Two-space indent, members in their order, a final newline; doubles in the shortest form that reads back
// as a double, so a whole one keeps its ".0".
// Arrays of nothing but numbers, and empty ones, stand on one line. Valid UTF-8 is kept, anything else
// becomes U+FFFD.
std::string to_text(const Json& value);

// Checks a value against one of our own schemas (draft-07), by its short name: "job", "report", "coverage", "beats",
// "impacts", "analysis", "otio". Errors are Fault::bad_input: one breach stands in `what` with where = "name
// /json/pointer"; of several each has a line of its own in `what`, "/json/pointer: ...", and where = "name".
// Each says what was found and expected; an unknown member or word is answered with the nearest known one.
Result<void> validate(const Json& value, std::string_view schema, const std::string& name);

} // namespace downball::text
