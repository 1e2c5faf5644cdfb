// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/base/text.h"
#include "downball/model/tags.h"

#include <algorithm>
#include <map>
#include <string>
#include <vector>

using namespace downball;

TEST_CASE("each tag's spelling reads back as that tag") {
    for (const auto& word : kind_words())
        CHECK(to_string(*parse_kind(word)) == word);
    for (const auto& word : skill_words())
        CHECK(to_string(*parse_skill(word)) == word);
    for (const auto& word : size_words())
        CHECK(to_string(*parse_size(word)) == word);
    for (const auto& word : angle_words())
        CHECK(to_string(*parse_angle(word)) == word);
    for (const auto& word : side_words())
        CHECK(to_string(*parse_side(word)) == word);
    for (const auto& word : use_words())
        CHECK(to_string(*parse_use(word)) == word);
    CHECK(kind_words().size() == 6);
    CHECK(skill_words().size() == 6);
}

TEST_CASE("tags forgive case, plurals and the other word for the thing") {
    CHECK(parse_skill("Reception") == Skill::pass);
    CHECK(parse_skill("spikes") == Skill::attack);
    CHECK(parse_kind("Cutaways") == Kind::cutaway);
    CHECK(parse_size("close-up") == Size::tight);
    CHECK(parse_size("mid") == Size::medium);
    CHECK_FALSE(parse_skill("smash"));
    CHECK_FALSE(parse_size(""));
    CHECK(to_string(Size::unknown) == "");
    CHECK(to_string(Use::free) == "");
}

namespace {

// Each spelling of a word that people write.
std::vector<std::string> spellings(const std::string& word) {
    std::string capital = word, shouted = word, blank = word, under = word, bare;
    capital[0] = static_cast<char>(capital[0] - 'a' + 'A');
    for (char& c : shouted)
        if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
    std::replace(blank.begin(), blank.end(), '-', ' ');
    std::replace(under.begin(), under.end(), '-', '_');
    for (const char c : word)
        if (c != '-') bare += c;
    std::vector<std::string> all{word, capital, shouted, blank, under, bare, " " + word + " "};
    for (std::size_t i = 0, n = all.size() - 1; i < n; ++i)
        all.push_back(all[i] + (word.ends_with('s') ? "es" : "s"));
    return all;
}

template <class Tag>
void forgives(std::optional<Tag> (*parse)(std::string_view), const std::map<std::string, Tag>& known) {
    for (const auto& [word, tag] : known)
        for (const auto& spelling : spellings(word)) {
            INFO(spelling);
            CHECK(parse(spelling) == tag);
        }
}

// One slip of the hand in each main word: a letter left out, doubled, or swapped with the next.
void offers(std::span<const std::string> known) {
    for (const auto& word : known)
        for (std::size_t i = 1; i + 1 < word.size() && word.size() > 3; ++i) {
            std::string out = word, twice = word, swapped = word;
            out.erase(i, 1);
            twice.insert(i, 1, word[i]);
            std::swap(swapped[i], swapped[i + 1]);
            for (const auto& slip : {out, twice, swapped}) {
                INFO(slip);
                const auto near = nearest_word(slip, known);
                REQUIRE(near);
                CHECK(
                    (*near == word || edit_distance(slip, *near) == edit_distance(slip, word))); // "raction"
            }
        }
}

} // namespace

TEST_CASE("every word of every list is read in any case, as a plural, and with any hyphen") {
    forgives<Kind>(parse_kind, {{"action", Kind::action},
                                {"reaction", Kind::reaction},
                                {"celebration", Kind::celebration},
                                {"cutaway", Kind::cutaway},
                                {"cut-away", Kind::cutaway},
                                {"b-roll", Kind::cutaway},
                                {"establishing", Kind::establishing},
                                {"sound", Kind::sound}});
    forgives<Skill>(parse_skill, {{"serve", Skill::serve},
                                  {"service", Skill::serve},
                                  {"pass", Skill::pass},
                                  {"reception", Skill::pass},
                                  {"receive", Skill::pass},
                                  {"set", Skill::set},
                                  {"attack", Skill::attack},
                                  {"spike", Skill::attack},
                                  {"block", Skill::block},
                                  {"dig", Skill::dig}});
    forgives<Size>(parse_size, {{"wide", Size::wide},
                                {"full", Size::wide},
                                {"long", Size::wide},
                                {"medium", Size::medium},
                                {"mid", Size::medium},
                                {"tight", Size::tight},
                                {"close", Size::tight},
                                {"close-up", Size::tight},
                                {"detail", Size::tight}});
    forgives<Angle>(parse_angle, {{"low", Angle::low},
                                  {"eye", Angle::eye},
                                  {"eye-level", Angle::eye},
                                  {"high", Angle::high},
                                  {"overhead", Angle::overhead},
                                  {"top", Angle::overhead}});
    forgives<Side>(parse_side, {{"left", Side::left}, {"right", Side::right}});
    forgives<Use>(parse_use, {{"must", Use::must}, {"never", Use::never}});
}

TEST_CASE("a slip of the hand in any main word finds that word again") {
    for (const auto known :
         {kind_words(), skill_words(), size_words(), angle_words(), side_words(), use_words()})
        offers(known);
}

TEST_CASE("no tag is read from a word that is none") {
    for (const char* word : {"", " ", "-", "s", "es", "actionss", "seti", "close-ups-up", "s\xC3\xA9t"}) {
        CHECK_FALSE(parse_kind(word));
        CHECK_FALSE(parse_skill(word));
        CHECK_FALSE(parse_size(word));
        CHECK_FALSE(parse_angle(word));
        CHECK_FALSE(parse_side(word));
        CHECK_FALSE(parse_use(word));
    }
}
