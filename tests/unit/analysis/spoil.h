// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/catch.h"

#include "downball/text/json.h"

#include <functional>
#include <string>
#include <vector>

namespace downball::test {

// Values of every type but that of the one given, and lists and objects that hold something else. Null stands for "none" in some members and is left out there.
inline std::vector<text::Json> others_than(const text::Json& value) {
    using text::Json;
    std::vector<Json> others;
    const auto offer = [&](Json other, bool same) {
        if (!same) others.push_back(std::move(other));
    };
    offer(true, value.is_bool());
    offer("text", value.is_string());
    offer(1.5, value.is_number());
    offer(text::JsonArray{Json()}, false);
    offer(text::JsonArray{Json(text::JsonArray{})}, false); // without Json some compilers copy the inner one
    offer(text::JsonObject{{"x", 1}}, false);
    return others;
}

// Each member anywhere in the value taken away, and given another type; `is_taken` must refuse every one. Gives their
// number.
inline int each_spoilt(const text::Json& whole, const std::function<bool(const text::Json&)>& is_taken) {
    using text::Json;
    int tried = 0;
    Json root = whole;
    const std::function<void(Json&, const std::string&)> go_into = [&](Json& value,
                                                                       const std::string& place) {
        const auto refuse = [&](const std::string& what) {
            INFO(place << ": " << what);
            CHECK_FALSE(is_taken(root));
            ++tried;
        };
        if (value.is_array())
            for (std::size_t i = 0; i < value.array().size(); ++i)
                go_into(value.array()[i], place + "/" + std::to_string(i));
        if (value.is_object())
            for (std::size_t i = 0; i < value.object().size(); ++i) {
                const auto members = value.object();
                const auto inside = place + "/" + members[i].first;
                value.object().erase(value.object().begin() + static_cast<long>(i));
                refuse("without " + members[i].first);
                value.object() = members;
                go_into(value.object()[i].second, inside);
            }
        const Json kept = value;
        for (const auto& other : others_than(kept)) {
            value = other;
            refuse("as " + text::to_text(other));
        }
        value = kept;
    };
    go_into(root, "");
    return tried;
}

} // namespace downball::test
