// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/text/members.h"

namespace downball::text {

const Json* Members::wanted(std::string_view name, bool (Json::*is)() const) {
    const Json* member = object_->find(name);
    if (member && (member->*is)()) return member;
    good_ = false;
    return nullptr;
}

const Json* Members::maybe(std::string_view name, bool (Json::*is)() const) {
    const Json* member = object_->find(name);
    if (member && member->is_null()) return nullptr;
    return wanted(name, is);
}

double Members::number(std::string_view name) {
    const auto* member = wanted(name, &Json::is_number);
    return member ? member->number() : 0;
}

std::int64_t Members::integer(std::string_view name) {
    const auto* member = wanted(name, &Json::is_integer);
    return member ? member->integer() : 0;
}

bool Members::truth(std::string_view name) {
    const auto* member = wanted(name, &Json::is_bool);
    return member && member->boolean();
}

std::string Members::string(std::string_view name) {
    const auto* member = wanted(name, &Json::is_string);
    return member ? member->string() : std::string();
}

std::optional<double> Members::maybe_number(std::string_view name) {
    const auto* member = maybe(name, &Json::is_number);
    return member ? std::optional(member->number()) : std::nullopt;
}

std::optional<std::string> Members::maybe_string(std::string_view name) {
    const auto* member = maybe(name, &Json::is_string);
    return member ? std::optional(member->string()) : std::nullopt;
}

const Json* Members::object(std::string_view name) {
    return maybe(name, &Json::is_object);
}

const JsonArray* Members::array(std::string_view name) {
    const auto* member = wanted(name, &Json::is_array);
    return member ? &member->array() : nullptr;
}

std::vector<double> Members::to_numbers(const Json& array) {
    std::vector<double> numbers;
    numbers.reserve(array.array().size());
    for (const auto& number : array.array())
        if (number.is_number())
            numbers.push_back(number.number());
        else
            good_ = false;
    return numbers;
}

std::vector<double> Members::numbers(std::string_view name) {
    const auto* member = wanted(name, &Json::is_array);
    return member ? to_numbers(*member) : std::vector<double>();
}

std::vector<std::string> Members::strings(std::string_view name) {
    std::vector<std::string> strings;
    const auto* member = wanted(name, &Json::is_array);
    if (!member) return strings;
    for (const auto& string : member->array())
        if (string.is_string())
            strings.push_back(string.string());
        else
            good_ = false;
    return strings;
}

std::vector<std::vector<double>> Members::rows(std::string_view name, std::size_t width) {
    std::vector<std::vector<double>> rows;
    const auto* member = wanted(name, &Json::is_array);
    if (!member) return rows;
    for (const auto& row : member->array()) {
        if (row.is_array()) rows.push_back(to_numbers(row));
        if (!row.is_array() || rows.back().size() != width) {
            good_ = false;
            return {};
        }
    }
    return rows;
}

} // namespace downball::text
