// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/text/json.h"

#include <string>
#include <string_view>
#include <vector>

namespace downball::text {

// One step into a value: a member's name or an item's index written as a number.
using JsonPath = std::vector<std::string>;

// The part of a schema that describes the value at `path`, local references followed; nullptr where only
// anyOf and its like know it.
const Json* schema_at(const Json& root, const JsonPath& path);

// What a schema asks of a value, for people: "a number of seconds above 0". `key` is the member's name; the
// unit comes from its ending.
std::string expected(const Json& schema, std::string_view key);

// A value as it would stand in a sentence, cut short.
std::string found(const Json& value);

// What is wrong with a value itself, not with the values inside it, a sentence each.
std::vector<std::string> breaches(const Json& value, const Json& schema, const Json& root,
                                  std::string_view key);

} // namespace downball::text
