// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/model/tags.h"

#include "downball/base/text.h"

#include <vector>

namespace downball {

namespace {

template <class Tag>
struct Spelling {
    std::string word;
    Tag tag;
};

template <class Tag>
using Spellings = std::vector<Spelling<Tag>>;

// The main spelling of each tag comes first; the others are only read.
const Spellings<Kind>& kinds() {
    static const Spellings<Kind> all{
        {"action", Kind::action},   {"reaction", Kind::reaction},         {"celebration", Kind::celebration},
        {"cutaway", Kind::cutaway}, {"establishing", Kind::establishing}, {"sound", Kind::sound},
        {"b-roll", Kind::cutaway}};
    return all;
}

const Spellings<Skill>& skills() {
    static const Spellings<Skill> all{{"serve", Skill::serve},   {"pass", Skill::pass},
                                      {"set", Skill::set},       {"attack", Skill::attack},
                                      {"block", Skill::block},   {"dig", Skill::dig},
                                      {"service", Skill::serve}, {"reception", Skill::pass},
                                      {"receive", Skill::pass},  {"spike", Skill::attack}};
    return all;
}

const Spellings<Size>& sizes() {
    static const Spellings<Size> all{
        {"wide", Size::wide},   {"medium", Size::medium},  {"tight", Size::tight},
        {"full", Size::wide},   {"long", Size::wide},      {"mid", Size::medium},
        {"close", Size::tight}, {"close-up", Size::tight}, {"detail", Size::tight}};
    return all;
}

const Spellings<Angle>& angles() {
    static const Spellings<Angle> all{{"low", Angle::low},       {"eye", Angle::eye},
                                      {"high", Angle::high},     {"overhead", Angle::overhead},
                                      {"eye-level", Angle::eye}, {"top", Angle::overhead}};
    return all;
}

const Spellings<Side>& sides() {
    static const Spellings<Side> all{{"left", Side::left}, {"right", Side::right}};
    return all;
}

const Spellings<Use>& uses() {
    static const Spellings<Use> all{{"must", Use::must}, {"never", Use::never}};
    return all;
}

// "Close-Up", "close up" and "closeup" are one word.
std::string joined(std::string_view text) {
    std::string word = lower(text);
    std::erase_if(word, [](char c) { return c == '-' || c == '_' || c == ' ' || c == '\t'; });
    return word;
}

template <class Tag>
std::optional<Tag> parse(const Spellings<Tag>& all, std::string_view text) {
    const std::string word = joined(trim(text));
    for (const auto& spelling : all) {
        const std::string known = joined(spelling.word);
        const char* plural = known.ends_with('s') ? "es" : "s";
        if (word == known || word == known + plural) return spelling.tag;
    }
    return std::nullopt;
}

template <class Tag>
std::string_view spell(const Spellings<Tag>& all, Tag tag) {
    for (const auto& spelling : all)
        if (spelling.tag == tag) return spelling.word;
    return {};
}

template <class Tag>
std::vector<std::string> main_words(const Spellings<Tag>& all) {
    std::vector<std::string> result;
    for (const auto& spelling : all)
        if (spell(all, spelling.tag) == spelling.word) result.push_back(spelling.word);
    return result;
}

} // namespace

std::string_view to_string(Kind kind) {
    return spell(kinds(), kind);
}
std::string_view to_string(Skill skill) {
    return spell(skills(), skill);
}
std::string_view to_string(Size size) {
    return spell(sizes(), size);
}
std::string_view to_string(Angle angle) {
    return spell(angles(), angle);
}
std::string_view to_string(Side side) {
    return spell(sides(), side);
}
std::string_view to_string(Use use) {
    return spell(uses(), use);
}

std::string_view to_string(ContactSource source) {
    switch (source) {
    case ContactSource::heard:
        return "heard";
    case ContactSource::logged:
        return "logged";
    case ContactSource::mark:
        return "mark";
    }
    return {};
}

std::optional<Kind> parse_kind(std::string_view word) {
    return parse(kinds(), word);
}
std::optional<Skill> parse_skill(std::string_view word) {
    return parse(skills(), word);
}
std::optional<Size> parse_size(std::string_view word) {
    return parse(sizes(), word);
}
std::optional<Angle> parse_angle(std::string_view word) {
    return parse(angles(), word);
}
std::optional<Side> parse_side(std::string_view word) {
    return parse(sides(), word);
}
std::optional<Use> parse_use(std::string_view word) {
    return parse(uses(), word);
}

std::span<const std::string> kind_words() {
    static const auto all = main_words(kinds());
    return all;
}
std::span<const std::string> skill_words() {
    static const auto all = main_words(skills());
    return all;
}
std::span<const std::string> size_words() {
    static const auto all = main_words(sizes());
    return all;
}
std::span<const std::string> angle_words() {
    static const auto all = main_words(angles());
    return all;
}
std::span<const std::string> side_words() {
    static const auto all = main_words(sides());
    return all;
}
std::span<const std::string> use_words() {
    static const auto all = main_words(uses());
    return all;
}

} // namespace downball
