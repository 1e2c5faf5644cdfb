// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/text/json.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace downball::text {

// Reads an object whose form is known. What is missing or of another type gives a value of nothing, and the whole is not
// good then.
class Members {
  public:
    explicit Members(const Json& object) : object_(&object) {}

    double number(std::string_view name);
    std::int64_t integer(std::string_view name);
    bool truth(std::string_view name);
    std::string string(std::string_view name);
    std::optional<double> maybe_number(std::string_view name);
    std::optional<std::string> maybe_string(std::string_view name);
    std::vector<double> numbers(std::string_view name);
    std::vector<std::string> strings(std::string_view name);
    // Rows of so many numbers each.
    std::vector<std::vector<double>> rows(std::string_view name, std::size_t width);
    const Json* find(std::string_view name) const { return object_->find(name); }
    // The member as an object; null where the file says null.
    const Json* object(std::string_view name);
    const JsonArray* array(std::string_view name);

    bool good() const { return good_; }
    void spoil() { good_ = false; }

  private:
    const Json* wanted(std::string_view name, bool (Json::*is)() const);
    const Json* maybe(std::string_view name, bool (Json::*is)() const);
    std::vector<double> to_numbers(const Json& array);

    const Json* object_;
    bool good_ = true;
};

} // namespace downball::text
