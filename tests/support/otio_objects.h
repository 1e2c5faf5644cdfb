// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/catch.h"

#include "downball/text/json.h"

#include <functional>
#include <string>
#include <vector>

// A written OTIO by its objects.
namespace downball::test {

using text::Json;

inline const Json& at(const Json& value, const std::string& key) {
    const Json* found = value.find(key);
    REQUIRE(found);
    return *found;
}

inline const std::vector<Json>& tracks(const Json& root) {
    return at(at(root, "tracks"), "children").array();
}
inline const std::vector<Json>& children(const Json& root, std::size_t track) {
    return at(tracks(root)[track], "children").array();
}
inline double start(const Json& range) {
    return at(at(range, "start_time"), "value").number();
}
inline double length(const Json& range) {
    return at(at(range, "duration"), "value").number();
}
inline double rate(const Json& range) {
    return at(at(range, "duration"), "rate").number();
}
inline const Json& reference(const Json& clip) {
    return at(at(clip, "media_references"), at(clip, "active_media_reference_key").string());
}

inline void each_object(const Json& value, const std::function<void(const Json&)>& look) {
    if (value.is_object()) {
        look(value);
        for (const auto& [key, inner] : value.object())
            each_object(inner, look);
    } else if (value.is_array()) {
        for (const auto& inner : value.array())
            each_object(inner, look);
    }
}

} // namespace downball::test
