// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/text/members.h"

using namespace downball;
using namespace downball::text;

namespace {

const Json object(JsonObject{{"number", 1.5},
                             {"whole", 3},
                             {"yes", true},
                             {"text", "ball"},
                             {"null", nullptr},
                             {"numbers", JsonArray{1, 2.5}},
                             {"texts", JsonArray{"a", ""}},
                             {"rows", JsonArray{JsonArray{1, 2}, JsonArray{3, 4}}},
                             {"object", JsonObject{{"x", 1}}},
                             {"empty", JsonArray{}}});

template <class Read>
bool is_good(Read read) {
    Members members(object);
    read(members);
    return members.good();
}

} // namespace

TEST_CASE("members of the type that is asked for are read") {
    Members members(object);
    CHECK(members.number("number") == 1.5);
    CHECK(members.number("whole") == 3);
    CHECK(members.integer("whole") == 3);
    CHECK(members.truth("yes"));
    CHECK(members.string("text") == "ball");
    CHECK(members.maybe_number("number") == 1.5);
    CHECK_FALSE(members.maybe_number("null"));
    CHECK(members.maybe_string("text") == "ball");
    CHECK_FALSE(members.maybe_string("null"));
    CHECK(members.numbers("numbers") == std::vector{1, 2.5});
    CHECK(members.numbers("empty").empty());
    CHECK(members.strings("texts") == std::vector<std::string>{"a", ""});
    CHECK(members.rows("rows", 2) == std::vector<std::vector<double>>{{1, 2}, {3, 4}});
    CHECK(members.rows("empty", 7).empty());
    REQUIRE(members.array("rows"));
    CHECK(members.array("rows")->size() == 2);
    REQUIRE(members.object("object"));
    CHECK(members.object("object")->find("x"));
    CHECK_FALSE(members.object("null"));
    CHECK(members.good());
}

TEST_CASE("what is missing or of another type gives nothing, and the whole is not good") {
    for (const auto* name : {"none", "text", "null", "object"}) {
        INFO(name);
        CHECK_FALSE(is_good([&](Members& it) { CHECK(it.number(name) == 0); }));
        CHECK_FALSE(is_good([&](Members& it) { CHECK(it.integer(name) == 0); }));
        CHECK_FALSE(is_good([&](Members& it) { CHECK_FALSE(it.truth(name)); }));
        CHECK_FALSE(is_good([&](Members& it) { CHECK(it.numbers(name).empty()); }));
        CHECK_FALSE(is_good([&](Members& it) { CHECK_FALSE(it.array(name)); }));
        CHECK_FALSE(is_good([&](Members& it) { CHECK(it.strings(name).empty()); }));
        CHECK_FALSE(is_good([&](Members& it) { CHECK(it.rows(name, 2).empty()); }));
    }
    for (const auto* name : {"none", "number", "null"})
        CHECK_FALSE(is_good([&](Members& it) { CHECK(it.string(name).empty()); }));
    for (const auto* name : {"none", "text", "yes"})
        CHECK_FALSE(is_good([&](Members& it) { CHECK_FALSE(it.maybe_number(name)); }));
    for (const auto* name : {"none", "number"}) {
        CHECK_FALSE(is_good([&](Members& it) { CHECK_FALSE(it.maybe_string(name)); }));
        CHECK_FALSE(is_good([&](Members& it) { CHECK_FALSE(it.object(name)); }));
    }
    CHECK_FALSE(is_good([](Members& it) { it.integer("number"); }));
}

TEST_CASE("lists with one item of another type, and rows of another width, are not good") {
    CHECK_FALSE(is_good([](Members& it) { it.numbers("texts"); }));
    CHECK_FALSE(is_good([](Members& it) { it.strings("numbers"); }));
    CHECK_FALSE(is_good([](Members& it) { it.numbers("rows"); }));
    CHECK_FALSE(is_good([](Members& it) { it.rows("numbers", 2); }));
    CHECK_FALSE(is_good([](Members& it) { it.rows("rows", 3); }));
    CHECK_FALSE(is_good([](Members& it) { it.rows("rows", 1); }));
}

TEST_CASE("what is no object has no members") {
    for (const Json& none : {Json(), Json(1), Json("text"), Json(JsonArray{1})}) {
        Members members(none);
        CHECK(members.number("number") == 0);
        CHECK_FALSE(members.good());
        CHECK_FALSE(members.find("number"));
    }
}

TEST_CASE("once spoilt, an object stays so") {
    Members members(object);
    members.spoil();
    CHECK(members.integer("whole") == 3);
    CHECK_FALSE(members.good());
}
