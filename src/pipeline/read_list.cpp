// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/pipeline/read_list.h"

#include "downball/files/files.h"

#include <iostream>
#include <iterator>

namespace downball::pipeline {
namespace {

Result<std::string> text_of(const std::string& path) {
    if (path != "-") return files::read_text(path);
    return std::string(std::istreambuf_iterator<char>(std::cin), {});
}

std::string name_of(const std::string& path) {
    return path == "-" ? "standard input" : path;
}

bool is_otio(std::string_view text) {
    if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
    const auto first = text.find_first_not_of(" \t\r\n");
    return first != std::string_view::npos && (text[first] == '{' || text[first] == '[');
}

Result<read::CutList> read_as(const std::string& text, const std::string& path, std::optional<Rate> rate) {
    return is_otio(text) ? read::otio(text, name_of(path)) : read::edl(text, name_of(path), rate);
}

// Reads an EDL once more at this rate, if it can be its own.
void take_rate(read::CutList& list, Rate rate, const std::string& text, const std::string& path) {
    if (auto again = read_as(text, path, rate)) list = std::move(*again);
}

} // namespace

Result<read::CutList> read_list(const std::string& path, std::optional<Rate> rate) {
    const auto text = text_of(path);
    if (!text) return text.error();
    return read_as(*text, path, rate);
}

Result<ListPair> read_pair(const std::string& first, const std::string& second, std::optional<Rate> rate) {
    if (first == "-" && second == "-")
        return Error{Fault::usage, "only one of the two lists can come from the standard input", ""};
    const auto one = text_of(first);
    if (!one) return one.error();
    const auto other = text_of(second);
    if (!other) return other.error();
    auto a = read_as(*one, first, rate);
    if (!a) return a.error();
    auto b = read_as(*other, second, rate);
    if (!b) return b.error();
    if (!a->rate_told && b->rate_told) take_rate(*a, b->rate, *one, first);
    if (!b->rate_told && a->rate_told) take_rate(*b, a->rate, *other, second);
    auto differences = read::compare(*a, *b);
    if (!differences) return differences.error();
    return ListPair{std::move(*a), std::move(*b), std::move(*differences)};
}

} // namespace downball::pipeline
