// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "analysis/sealed.h"

#include "downball/files/stream_hash.h"

#include <algorithm>

namespace downball::analysis {

namespace {

using text::Json;
using text::JsonArray;
using text::JsonObject;

// The text up to the hash, as the JSON writer lays it out, and what stands in its place while it is counted.
constexpr std::string_view before_hash = "{\n  \"check\": \"";
constexpr std::string_view no_hash = "0000000000000000";

std::string hash_of(const std::string& name, std::string_view blank) {
    files::StreamHash hash;
    hash.add(name);
    hash.add("\n");
    hash.add(blank);
    return hash.digits();
}

bool hash_fits(const std::string& name, std::string_view text) {
    if (!text.starts_with(before_hash) || text.size() < before_hash.size() + no_hash.size()) return false;
    std::string blank(text);
    blank.replace(before_hash.size(), no_hash.size(), no_hash);
    return hash_of(name, blank) == text.substr(before_hash.size(), no_hash.size());
}

std::optional<std::vector<int>> versions_in(const Json& root) {
    const auto* versions = root.find("versions");
    if (!versions || !versions->is_array()) return std::nullopt;
    std::vector<int> numbers;
    for (const auto& version : versions->array()) {
        if (!version.is_integer()) return std::nullopt;
        numbers.push_back(static_cast<int>(version.integer()));
    }
    return numbers;
}

// Newer in anything is newer: such a file is not ours to replace.
Seal compare(const std::vector<int>& theirs, const std::vector<int>& ours) {
    if (theirs == ours) return Seal::whole;
    for (std::size_t i = 0; i < std::min(theirs.size(), ours.size()); ++i)
        if (theirs[i] > ours[i]) return Seal::newer;
    return theirs.size() > ours.size() ? Seal::newer : Seal::older;
}

} // namespace

std::string sealed(const Document& document, JsonObject found) {
    JsonArray versions(document.versions.begin(), document.versions.end());
    auto text = to_text(JsonObject{{"check", no_hash},
                                   {"downball_analysis", document.kind},
                                   {"versions", std::move(versions)},
                                   {"found", std::move(found)}});
    const auto hash = hash_of(document.name, text);
    text.replace(before_hash.size(), hash.size(), hash);
    return text;
}

Unsealed unsealed(const Document& document, std::string_view text) {
    if (!hash_fits(document.name, text)) return {};
    auto root = text::parse_json(text, document.name);
    if (!root) return {};
    const auto* kind = root->find("downball_analysis");
    const auto versions = versions_in(*root);
    if (!kind || !kind->is_string() || kind->string() != document.kind || !versions) return {};
    Unsealed result{compare(*versions, document.versions), {}};
    for (auto& [name, value] : root->object())
        if (name == "found") result.found = std::move(value);
    if (result.seal == Seal::whole && result.found.is_null()) return {};
    return result;
}

} // namespace downball::analysis
