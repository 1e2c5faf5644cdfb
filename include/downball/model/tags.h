// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <string_view>

// The words of the shot log. Each enum has its spelling in log and job through to_string and from parse_*;
// parse_* takes any case, a plural, words with, without and with blanks for hyphens, and the accepted other words, and
// gives nothing for an unknown word.
namespace downball {

enum class Kind { action, reaction, celebration, cutaway, establishing, sound };
enum class Skill { serve, pass, set, attack, block, dig };
enum class Size { unknown, wide, medium, tight };
enum class Angle { unknown, low, eye, high, overhead };
enum class Side { unknown, left, right }; // screen side from which the action comes
enum class Use { free, must, never };
enum class ContactSource { heard, logged, mark }; // detector now; `contacts` in the log; `marks`, set by eye

std::string_view to_string(Kind kind);
std::string_view to_string(Skill skill);
std::string_view to_string(Size size); // "" for unknown, likewise below
std::string_view to_string(Angle angle);
std::string_view to_string(Side side);
std::string_view to_string(Use use); // "" for free
std::string_view to_string(ContactSource source);

std::optional<Kind> parse_kind(std::string_view word); // also 'b-roll' (cutaway)
std::optional<Skill>
parse_skill(std::string_view word); // also 'service' (serve), 'reception', 'receive' (pass), 'spike' (attack)
std::optional<Size>
parse_size(std::string_view
               word); // also 'full', 'long' (wide), 'mid' (medium), 'close', 'close-up', 'detail' (tight)
std::optional<Angle> parse_angle(std::string_view word); // also 'eye-level', 'top' (overhead)
std::optional<Side> parse_side(std::string_view word);
std::optional<Use> parse_use(std::string_view word);

// The main spellings, for "nearest known word" in complaints.
std::span<const std::string> kind_words();
std::span<const std::string> skill_words();
std::span<const std::string> size_words();
std::span<const std::string> angle_words();
std::span<const std::string> side_words();
std::span<const std::string> use_words();

} // namespace downball
