// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/model/tags.h"

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
