// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "text/schema_words.h"

#include "downball/base/text.h"
#include "downball/text/json.h"

#include <cmath>
#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <set>

// g++ 12 sees an overlap in std::string::replace where there is none (its bug 105651).
#if defined(__GNUC__) && !defined(__clang__)
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wrestrict"
#endif
#define VALIJSON_USE_EXCEPTIONS 1
#include <valijson/adapters/nlohmann_json_adapter.hpp>
#include <valijson/schema.hpp>
#include <valijson/schema_parser.hpp>
#include <valijson/validation_results.hpp>
#include <valijson/validator.hpp>
#if defined(__GNUC__) && !defined(__clang__)
#pragma GCC diagnostic pop
#endif

namespace downball::text {

std::string_view embedded_schema(std::string_view name); // made from schemas/ when building

namespace {

// JSON Schema takes 25.0 for an integer, the library does not: whole doubles become integers on the way.
nlohmann::json to_library(const Json& value) {
    if (value.is_bool()) return value.boolean();
    if (value.is_integer()) return value.integer();
    if (value.is_number()) {
        const double number = value.number();
        if (number == std::floor(number) && std::abs(number) < 9e15) return static_cast<std::int64_t>(number);
        return number;
    }
    if (value.is_string()) return value.string();
    if (value.is_array()) {
        nlohmann::json list = nlohmann::json::array();
        for (const Json& item : value.array())
            list.push_back(to_library(item));
        return list;
    }
    if (value.is_object()) {
        nlohmann::json members = nlohmann::json::object();
        for (const auto& [name, member] : value.object())
            members[name] = to_library(member);
        return members;
    }
    return nullptr;
}

// The library's places are "<root>", "[\"member\"]" and "[3]".
JsonPath path_of(const std::vector<std::string>& context) {
    JsonPath path;
    for (std::string_view part : context) {
        if (part == "<root>") continue;
        if (part.starts_with('[') && part.ends_with(']')) part = part.substr(1, part.size() - 2);
        if (part.size() >= 2 && part.starts_with('"') && part.ends_with('"'))
            part = part.substr(1, part.size() - 2);
        path.emplace_back(part);
    }
    return path;
}

const Json* value_at(const Json& root, const JsonPath& path) {
    const Json* at = &root;
    for (const std::string& part : path) {
        if (at->is_array()) {
            const auto index = parse_integer(part);
            if (!index || *index < 0 || static_cast<std::size_t>(*index) >= at->array().size())
                return nullptr;
            at = &at->array()[static_cast<std::size_t>(*index)];
        } else if (at = at->find(part); !at) {
            return nullptr;
        }
    }
    return at;
}

// The unit stands in the name of the nearest member above, also for the items of a list.
std::string key_of(const JsonPath& path) {
    for (auto part = path.rbegin(); part != path.rend(); ++part) {
        if (!parse_integer(*part)) return *part;
    }
    return {};
}

struct Breach {
    std::string place;
    std::string what;
};

// The library tells where; the words come from the schema. Its own sentence is used only for rules that the
// words do not cover, and its "this holds something invalid" for every level above is left out.
std::vector<Breach> sentences(const Json& value, const Json& schema,
                              const valijson::ValidationResults& results) {
    std::vector<Breach> out;
    std::set<std::string> explained;
    std::vector<Breach> unexplained;
    for (const auto& error : results) {
        const JsonPath path = path_of(error.context);
        const std::string place = pointer(path);
        if (explained.contains(place)) continue;
        const Json* here = value_at(value, path);
        const Json* rules = schema_at(schema, path);
        const auto lines =
            here && rules ? breaches(*here, *rules, schema, key_of(path)) : std::vector<std::string>{};
        for (const std::string& line : lines)
            out.push_back({place, line});
        if (!lines.empty()) explained.insert(place);
        if (!lines.empty() || error.description.starts_with("Failed to validate")) continue;
        const std::string wanted = rules ? expected(*rules, key_of(path)) : std::string();
        std::string line = fmt::format("found {}; {}", here ? found(*here) : "nothing", error.description);
        if (!wanted.empty())
            line = fmt::format("found {}, expected {}", here ? found(*here) : "nothing", wanted);
        unexplained.push_back({place, line});
    }
    for (Breach& breach : unexplained) {
        if (explained.insert(breach.place).second) out.push_back(std::move(breach));
    }
    return out;
}

} // namespace

Result<void> validate(const Json& value, std::string_view schema, const std::string& name) {
    const std::string_view text = embedded_schema(schema);
    if (text.empty())
        return Error{Fault::internal, fmt::format("there is no schema called \"{}\"", schema), name};
    const auto rules = parse_json(text, fmt::format("{}.schema.json", schema));
    if (!rules) return Error{Fault::internal, rules.error().what, rules.error().where};

    valijson::ValidationResults results;
    try {
        const nlohmann::json library_schema = to_library(*rules);
        const nlohmann::json library_value = to_library(value);
        valijson::Schema parsed;
        valijson::SchemaParser(valijson::SchemaParser::kDraft7)
            .populateSchema(valijson::adapters::NlohmannJsonAdapter(library_schema), parsed);
        valijson::Validator validator(valijson::Validator::kStrongTypes);
        if (validator.validate(parsed, valijson::adapters::NlohmannJsonAdapter(library_value), &results))
            return {};
    } catch (const std::exception& error) {
        return Error{Fault::internal,
                     fmt::format("the schema \"{}\" cannot be used: {}", schema, error.what()), name};
    }

    auto breaches_found = sentences(value, *rules, results);
    if (breaches_found.empty())
        breaches_found.push_back({"", fmt::format("does not fit schemas/{}.schema.json", schema)});
    if (breaches_found.size() == 1) {
        const Breach& only = breaches_found.front();
        return Error{Fault::bad_input, only.what, only.place.empty() ? name : name + " " + only.place};
    }
    std::vector<std::string> lines;
    for (const Breach& breach : breaches_found)
        lines.push_back(fmt::format("{}: {}", breach.place.empty() ? "/" : breach.place, breach.what));
    return Error{Fault::bad_input, join(lines, "\n"), name};
}

} // namespace downball::text
