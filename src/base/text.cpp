// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/base/text.h"

#include <algorithm>
#include <charconv>
#include <cmath>

namespace downball {

namespace {

constexpr std::string_view blanks = " \t\r\n\v\f";

char lower(char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

// Length of the UTF-8 sequence at `at`, or 0 if it is malformed (RFC 3629, section 4).
std::size_t sequence_length(std::string_view text, std::size_t at) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    const unsigned char lead = byte(at);
    if (lead < 0x80) return 1;
    const std::size_t length = lead >= 0xC2 && lead <= 0xDF   ? 2
                               : (lead & 0xF0) == 0xE0        ? 3
                               : lead >= 0xF0 && lead <= 0xF4 ? 4
                                                              : 0;
    if (length == 0 || text.size() - at < length) return 0;
    for (std::size_t i = 1; i < length; ++i)
        if ((byte(at + i) & 0xC0) != 0x80) return 0;
    const unsigned char second = byte(at + 1);
    if (lead == 0xE0 && second < 0xA0) return 0; // overlong
    if (lead == 0xED && second > 0x9F) return 0; // surrogate
    if (lead == 0xF0 && second < 0x90) return 0; // overlong
    if (lead == 0xF4 && second > 0x8F) return 0; // past U+10FFFF
    return length;
}

template <class Number>
std::optional<Number> parse_whole(std::string_view text) {
    text = trim(text);
    if (!text.empty() && text.front() == '+') text.remove_prefix(1);
    Number number{};
    const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (text.empty() || problem != std::errc{} || end != text.data() + text.size()) return std::nullopt;
    return number;
}

} // namespace

std::string_view trim(std::string_view text) {
    const auto first = text.find_first_not_of(blanks);
    if (first == std::string_view::npos) return {};
    return text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

std::string lower(std::string_view text) {
    std::string result(text);
    for (char& c : result)
        c = lower(c);
    return result;
}

std::vector<std::string> words(std::string_view text) {
    std::vector<std::string> result;
    while (true) {
        const auto first = text.find_first_not_of(blanks);
        if (first == std::string_view::npos) return result;
        text.remove_prefix(first);
        const auto length = std::min(text.find_first_of(blanks), text.size());
        result.emplace_back(text.substr(0, length));
        text.remove_prefix(length);
    }
}

std::string join(std::span<const std::string> parts, std::string_view between) {
    std::string result;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        if (i > 0) result += between;
        result += parts[i];
    }
    return result;
}

std::optional<double> parse_number(std::string_view text) {
    const auto number = parse_whole<double>(text);
    return number && std::isfinite(*number) ? number : std::nullopt;
}

std::optional<long long> parse_integer(std::string_view text) {
    return parse_whole<long long>(text);
}

std::size_t edit_distance(std::string_view a, std::string_view b) {
    const std::size_t width = b.size() + 1;
    std::vector<std::size_t> before_last(width), last(width), row(width);
    for (std::size_t j = 0; j < width; ++j)
        last[j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        row[0] = i;
        for (std::size_t j = 1; j < width; ++j) {
            const bool same = lower(a[i - 1]) == lower(b[j - 1]);
            row[j] = std::min({last[j] + 1, row[j - 1] + 1, last[j - 1] + (same ? 0 : 1)});
            if (i > 1 && j > 1 && lower(a[i - 1]) == lower(b[j - 2]) && lower(a[i - 2]) == lower(b[j - 1]))
                row[j] = std::min(row[j], before_last[j - 2] + 1);
        }
        std::swap(before_last, last);
        std::swap(last, row);
    }
    return last[b.size()];
}

std::optional<std::string> nearest_word(std::string_view word, std::span<const std::string> candidates) {
    const std::string* best = nullptr;
    std::size_t best_distance = std::max<std::size_t>(1, word.size() / 3) + 1;
    for (const auto& candidate : candidates) {
        const auto distance = edit_distance(word, candidate);
        if (distance < best_distance) {
            best = &candidate;
            best_distance = distance;
        }
    }
    if (best || word.size() < 2) return best ? std::optional(*best) : std::nullopt;
    const std::string beginning = lower(word);
    for (const auto& candidate : candidates) {
        if (!lower(candidate).starts_with(beginning)) continue;
        if (best) return std::nullopt;
        best = &candidate;
    }
    return best ? std::optional(*best) : std::nullopt;
}

bool like_a_formula(std::string_view cell) {
    if (cell.empty() || cell == "-") return false;
    if (std::string_view("\t\r\n").find(cell.front()) != std::string_view::npos) return true;
    cell = trim(cell);
    return !cell.empty() && std::string_view("=+-@").find(cell.front()) != std::string_view::npos;
}

bool valid_utf8(std::string_view text) {
    for (std::size_t at = 0; at < text.size();) {
        const auto length = sequence_length(text, at);
        if (length == 0) return false;
        at += length;
    }
    return true;
}

} // namespace downball
