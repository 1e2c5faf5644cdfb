// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

// Small pieces of text work that several rooms need. All are ASCII-only and independent of the locale.
namespace downball {

std::string_view trim(std::string_view text);
std::string lower(std::string_view text);

// Words of a cell: runs of anything but blanks (space, tab, line ends).
std::vector<std::string> words(std::string_view text);

std::string join(std::span<const std::string> parts, std::string_view between);

// The whole text as a number, with '.' as the decimal point; nothing for trailing text, NaN or infinity.
std::optional<double> parse_number(std::string_view text);
std::optional<long long> parse_integer(std::string_view text);

// Insertions, deletions, substitutions and swaps of neighbours (optimal string alignment), case ignored.
std::size_t edit_distance(std::string_view a, std::string_view b);

// The candidate nearest to `word`, if it is near enough to be a slip of the hand: at most a third of its
// length, at least one edit. Ties go to the earlier candidate. Where none is, the one candidate that `word`
// begins, from two letters on.
std::optional<std::string> nearest_word(std::string_view word, std::span<const std::string> candidates);

// True for a cell that a spreadsheet may run as a formula (OWASP, "CSV Injection"): it begins with = + - @, a
// tab or a line end, or with one of the signs behind blanks. We never write such a cell of our own, since file
// names and tags may come from strangers; the lone "-" is text everywhere.
bool like_a_formula(std::string_view cell);

// True for well-formed UTF-8 without surrogates or overlong forms (RFC 3629).
bool valid_utf8(std::string_view text);

} // namespace downball
