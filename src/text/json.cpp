// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/text/json.h"

#include <cmath>

namespace downball::text {

bool Json::boolean() const {
    assert(is_bool());
    return std::get<bool>(value_);
}

std::int64_t Json::integer() const {
    assert(is_number());
    if (is_integer()) return std::get<std::int64_t>(value_);
    const double value = std::get<double>(value_);
    assert(value == std::floor(value) && std::abs(value) < 9.2e18);
    return static_cast<std::int64_t>(value);
}

double Json::number() const {
    assert(is_number());
    return is_integer() ? static_cast<double>(std::get<std::int64_t>(value_)) : std::get<double>(value_);
}

const std::string& Json::string() const {
    assert(is_string());
    return std::get<std::string>(value_);
}

const JsonArray& Json::array() const {
    assert(is_array());
    return std::get<JsonArray>(value_);
}

JsonArray& Json::array() {
    assert(is_array());
    return std::get<JsonArray>(value_);
}

const JsonObject& Json::object() const {
    assert(is_object());
    return std::get<JsonObject>(value_);
}

JsonObject& Json::object() {
    assert(is_object());
    return std::get<JsonObject>(value_);
}

const Json* Json::find(std::string_view key) const {
    if (!is_object()) return nullptr;
    for (const auto& [name, value] : object()) {
        if (name == key) return &value;
    }
    return nullptr;
}

Json& Json::add(std::string key, Json value) {
    assert(is_object() && !find(key));
    object().emplace_back(std::move(key), std::move(value));
    return object().back().second;
}

} // namespace downball::text
