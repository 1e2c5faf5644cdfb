// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "text/schema_words.h"

#include "downball/base/text.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>

namespace downball::text {
namespace {

// Local references only; a chain of them is followed, a circle ends after a few turns.
const Json* resolve(const Json& root, const Json* schema) {
    for (int turns = 0; schema && turns < 16; ++turns) {
        const Json* reference = schema->find("$ref");
        if (!reference || !reference->is_string()) return schema;
        constexpr std::string_view local = "#/definitions/";
        if (!reference->string().starts_with(local)) return nullptr;
        const Json* definitions = root.find("definitions");
        schema = definitions ? definitions->find(reference->string().substr(local.size())) : nullptr;
    }
    return schema;
}

const Json* step(const Json& root, const Json& schema, const std::string& name) {
    if (const Json* properties = schema.find("properties")) {
        if (const Json* member = properties->find(name)) return resolve(root, member);
    }
    if (const Json* other = schema.find("additionalProperties"); other && other->is_object())
        return resolve(root, other);
    const Json* items = schema.find("items");
    const auto index = parse_integer(name);
    if (!items || !index || *index < 0) return nullptr;
    if (items->is_object()) return resolve(root, items);
    const auto at = static_cast<std::size_t>(*index);
    return items->is_array() && at < items->array().size() ? resolve(root, &items->array()[at]) : nullptr;
}

std::vector<std::string> type_names(const Json& schema) {
    std::vector<std::string> names;
    const Json* type = schema.find("type");
    if (type && type->is_string()) names.push_back(type->string());
    if (type && type->is_array()) {
        for (const Json& one : type->array())
            names.push_back(one.string());
    }
    return names;
}

bool has_type(const Json& value, const std::string& name) {
    if (name == "null") return value.is_null();
    if (name == "boolean") return value.is_bool();
    if (name == "string") return value.is_string();
    if (name == "array") return value.is_array();
    if (name == "object") return value.is_object();
    if (name == "number") return value.is_number();
    return value.is_number() && value.number() == std::floor(value.number());
}

std::string unit(std::string_view key) {
    constexpr std::array<std::pair<std::string_view, std::string_view>, 7> endings{
        {{"_s", " of seconds"},
         {"_m", " of metres"},
         {"_c", " of degrees Celsius"},
         {"_frames", " of frames"},
         {"_fps", " of pictures a second"},
         {"_px", " of pixels"},
         {"_lufs", " of LUFS"}}};
    for (const auto& [ending, words] : endings) {
        if (key.ends_with(ending)) return std::string(words);
    }
    return {};
}

std::string bounds(const Json& schema) {
    const Json* above = schema.find("exclusiveMinimum");
    const Json* from = schema.find("minimum");
    const Json* below = schema.find("exclusiveMaximum");
    const Json* to = schema.find("maximum");
    std::string words;
    if (above) words += fmt::format(" above {}", above->number());
    if (from) words += fmt::format(" from {}", from->number());
    if (below) words += fmt::format("{} below {}", words.empty() ? "" : " and", below->number());
    if (to)
        words += fmt::format("{} {}", from ? " to" : words.empty() ? " up to" : " and up to", to->number());
    if (from && !to && !below) words += " up";
    return words;
}

std::string type_words(const std::string& name, const Json& schema, std::string_view key) {
    if (name == "number") return "a number" + unit(key) + bounds(schema);
    if (name == "integer") return "a whole number" + unit(key) + bounds(schema);
    if (name == "boolean") return "true or false";
    if (name == "array") {
        const Json* least = schema.find("minItems");
        const Json* most = schema.find("maxItems");
        if (least && most && least->integer() == most->integer())
            return fmt::format("a list of {}", least->integer());
        if (!least && most) return fmt::format("a list of at most {}", most->integer());
        return least && least->integer() > 0 ? fmt::format("a list of at least {}", least->integer())
                                             : "a list";
    }
    if (name == "object") return "an object in braces";
    if (name == "null") return "null";
    const Json* least = schema.find("minLength");
    return least && least->integer() > 0 ? "text in double quotes, not empty" : "text in double quotes";
}

std::vector<std::string> words_of(const Json& list) {
    std::vector<std::string> known;
    for (const Json& one : list.array())
        known.push_back(one.is_string() ? one.string() : found(one));
    return known;
}

std::string suggestion(std::string_view word, const std::vector<std::string>& known) {
    const auto near = nearest_word(word, known);
    return near ? fmt::format("; did you mean \"{}\"?", *near) : std::string();
}

bool out_of_bounds(const Json& value, const Json& schema) {
    const double number = value.number();
    const auto breaks = [&](const char* rule, auto test) {
        const Json* limit = schema.find(rule);
        return limit && limit->is_number() && test(limit->number());
    };
    return breaks("minimum", [&](double limit) { return number < limit; }) ||
           breaks("exclusiveMinimum", [&](double limit) { return number <= limit; }) ||
           breaks("maximum", [&](double limit) { return number > limit; }) ||
           breaks("exclusiveMaximum", [&](double limit) { return number >= limit; });
}

bool wrong_length(const Json& value, const Json& schema) {
    const bool list = value.is_array();
    const Json* least = schema.find(list ? "minItems" : "minLength");
    const Json* most = schema.find(list ? "maxItems" : "maxLength");
    const auto length = static_cast<std::int64_t>(list ? value.array().size() : value.string().size());
    return (least && length < least->integer()) || (list && most && length > most->integer());
}

void member_breaches(const Json& value, const Json& schema, const Json& root, std::vector<std::string>& out) {
    const Json* properties = schema.find("properties");
    std::vector<std::string> known;
    if (properties) {
        for (const auto& [name, member] : properties->object())
            known.push_back(name);
    }
    if (const Json* other = schema.find("additionalProperties");
        other && other->is_bool() && !other->boolean()) {
        for (const auto& [name, member] : value.object()) {
            if (properties && properties->find(name)) continue;
            const std::string near = suggestion(name, known);
            out.push_back(fmt::format("found the unknown member \"{}\"{}", name,
                                      near.empty() ? "; known here: " + join(known, ", ") : near));
        }
    }
    const Json* required = schema.find("required");
    if (!required) return;
    for (const Json& name : required->array()) {
        if (value.find(name.string())) continue;
        const Json* member = properties ? properties->find(name.string()) : nullptr;
        member = member ? resolve(root, member) : nullptr;
        const std::string wanted = member ? expected(*member, name.string()) : std::string();
        out.push_back(fmt::format("the member \"{}\" is missing{}{}", name.string(),
                                  wanted.empty() ? "" : "; expected ", wanted));
    }
}

} // namespace

std::string pointer(const JsonPath& path) {
    std::string out;
    for (const std::string& part : path) {
        out += '/';
        for (const char c : part)
            out += c == '~' ? "~0" : c == '/' ? "~1" : std::string(1, c);
    }
    return out;
}

const Json* schema_at(const Json& root, const JsonPath& path) {
    const Json* at = resolve(root, &root);
    for (const std::string& part : path) {
        if (!at) return nullptr;
        at = step(root, *at, part);
    }
    return at;
}

std::string expected(const Json& schema, std::string_view key) {
    if (const Json* only = schema.find("const")) return found(*only);
    if (const Json* list = schema.find("enum")) {
        std::vector<std::string> shown;
        for (const Json& one : list->array())
            shown.push_back(found(one));
        if (shown.size() == 1) return shown.front();
        return fmt::format("{} or {}", join(std::span(shown).first(shown.size() - 1), ", "), shown.back());
    }
    std::vector<std::string> kinds;
    for (const std::string& name : type_names(schema))
        kinds.push_back(type_words(name, schema, key));
    std::string text = join(kinds, " or ");
    // What the words of the type cannot say, the schema's own description does.
    const Json* description = schema.find("description");
    if (description && (kinds.size() > 1 || text.empty() || schema.find("pattern")))
        text += fmt::format("{}{}", text.empty() ? "" : ": ", description->string());
    return text;
}

std::string found(const Json& value) {
    if (value.is_object()) return value.object().empty() ? "an empty object" : "an object";
    if (value.is_array()) return fmt::format("a list of {}", value.array().size());
    constexpr std::size_t longest = 60;
    std::string text = to_text(value);
    text.pop_back();
    if (text.size() <= longest) return text;
    std::size_t cut = longest;
    while (cut > 0 && !valid_utf8(std::string_view(text).substr(0, cut)))
        --cut;
    return text.substr(0, cut) + "...\"";
}

std::vector<std::string> breaches(const Json& value, const Json& schema, const Json& root,
                                  std::string_view key) {
    std::vector<std::string> out;
    const auto complain = [&](const std::string& more = {}) {
        out.push_back(fmt::format("found {}, expected {}{}", found(value), expected(schema, key), more));
    };
    const auto names = type_names(schema);
    if (!names.empty() && std::none_of(names.begin(), names.end(),
                                       [&](const std::string& name) { return has_type(value, name); })) {
        complain();
        return out;
    }
    const auto same = [&](const Json& one) { return to_text(one) == to_text(value); };
    if (const Json* only = schema.find("const"); only && !same(*only)) complain();
    if (const Json* list = schema.find("enum")) {
        if (std::none_of(list->array().begin(), list->array().end(), same))
            complain(value.is_string() ? suggestion(value.string(), words_of(*list)) : std::string());
    }
    if (value.is_number() && out_of_bounds(value, schema)) complain();
    if ((value.is_array() || value.is_string()) && wrong_length(value, schema)) complain();
    if (value.is_object()) member_breaches(value, schema, root, out);
    return out;
}

} // namespace downball::text
