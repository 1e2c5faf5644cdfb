// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/base/text.h"

using namespace downball;

TEST_CASE("words are runs between blanks") {
    CHECK(words("") == std::vector<std::string>{});
    CHECK(words("  A1\tB2 \n") == std::vector<std::string>{"A1", "B2"});
    CHECK(trim("  a b ") == "a b");
    CHECK(trim(" \t ") == "");
}

TEST_CASE("a number is the whole text, finite and with a point") {
    CHECK(parse_number("12.5") == 12.5);
    CHECK(parse_number(" +3 ") == 3.0);
    CHECK(parse_number("1e3") == 1000.0);
    for (const auto* bad : {"", "12,5", "12.5s", "nan", "inf", "0x10", "1e999", "--1"}) {
        INFO(bad);
        CHECK_FALSE(parse_number(bad));
    }
    CHECK(parse_integer("-7") == -7);
    CHECK_FALSE(parse_integer("7.0"));
    CHECK_FALSE(parse_integer("99999999999999999999"));
}

TEST_CASE("edit distance counts insertions, deletions, substitutions and swaps") {
    CHECK(edit_distance("", "abc") == 3);
    CHECK(edit_distance("kitten", "sitting") == 3); // the usual worked example of the literature
    CHECK(edit_distance("atack", "attack") == 1);
    CHECK(edit_distance("dgi", "dig") == 1);
    CHECK(edit_distance("Serve", "sERVE") == 0);
}

TEST_CASE("the nearest word is offered only for a slip of the hand") {
    const std::vector<std::string> known{"wide", "medium", "tight"};
    CHECK(nearest_word("wid", known) == "wide");
    CHECK(nearest_word("meduim", known) == "medium");
    CHECK_FALSE(nearest_word("overhead", known));
    CHECK(nearest_word("Med", known) == "medium");
    CHECK_FALSE(nearest_word("m", known));
    CHECK_FALSE(nearest_word("re", std::vector<std::string>{"reaction", "reception"}));
    CHECK_FALSE(nearest_word("x", std::vector<std::string>{}));
}

// Well-formed and ill-formed byte sequences: Unicode Standard, table 3-7; RFC 3629 section 4.
TEST_CASE("UTF-8 is checked as RFC 3629 defines it") {
    CHECK(valid_utf8("plain"));
    CHECK(valid_utf8("\xC3\xA9 \xE2\x82\xAC \xF0\x9F\x8F\x90"));
    CHECK_FALSE(valid_utf8("\xC0\xAF"));         // overlong
    CHECK_FALSE(valid_utf8("\xE0\x80\xAF"));     // overlong
    CHECK_FALSE(valid_utf8("\xED\xA0\x80"));     // surrogate
    CHECK_FALSE(valid_utf8("\xF4\x90\x80\x80")); // past U+10FFFF
    CHECK_FALSE(valid_utf8("\xE2\x82"));         // cut short
    CHECK_FALSE(valid_utf8("\x80"));             // no lead byte
}

// OWASP, "CSV Injection": = + - @, tab, carriage return and line feed at the beginning.
TEST_CASE("what a spreadsheet may run is known, also behind blanks") {
    for (const char* cell :
         {"=HYPERLINK(\"x\")", "+1", "-1", "@SUM(A1)", "\tx", "\rx", "\n=x", " =1+1", "  @x", " -"})
        CHECK(like_a_formula(cell));
    for (const char* cell : {"", "-", "A1", "12-9", "a=b", " x", "'=1", "./=x", "\xF0\x9F\x8F\x90"})
        CHECK_FALSE(like_a_formula(cell));
}
