// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/text/json.h"

#include <cmath>
#include <limits>

using namespace downball;
using namespace downball::text;

namespace {

Error error_of(std::string_view text) {
    const auto result = parse_json(text, "job.json");
    REQUIRE_FALSE(result);
    CHECK(result.error().fault == Fault::bad_input);
    return result.error();
}

} // namespace

TEST_CASE("a value is read with its types and its order") {
    const auto value = parse_json(R"({"b": 1, "a": [true, null, "x", 2.5], "c": {"d": -3}})", "x");
    REQUIRE(value);
    REQUIRE(value->object().size() == 3);
    CHECK(value->object()[0].first == "b");
    CHECK(value->object()[1].first == "a");
    CHECK(value->find("b")->is_integer());
    CHECK(value->find("b")->integer() == 1);
    const JsonArray& list = value->find("a")->array();
    CHECK(list[0].boolean());
    CHECK(list[1].is_null());
    CHECK(list[2].string() == "x");
    CHECK(list[3].number() == 2.5);
    CHECK(value->find("c")->find("d")->number() == -3.0);
    CHECK(value->find("nobody") == nullptr);
    CHECK(list[2].find("x") == nullptr);
}

TEST_CASE("broken JSON is answered with its line and column") {
    const Error comma = error_of("{\n  \"a\": 1,\n}\n");
    CHECK(comma.where == "job.json:3");
    CHECK(comma.what.find("column 1") != std::string::npos);
    CHECK(comma.what.find("take out the comma before it") != std::string::npos);

    const Error comment = error_of("{\n  // a comment\n}");
    CHECK(comment.where == "job.json:2");
    CHECK(comment.what.find("no comments") != std::string::npos);

    CHECK(error_of("{'a': 1}").what.find("double quotes") != std::string::npos);
    CHECK(error_of("{\"a\": 1").where == "job.json:1");
    CHECK(error_of("{\"a\": NaN}").where == "job.json:1");
    CHECK(error_of("[1e999]").where == "job.json:1");
    CHECK(error_of("[1] 2").where == "job.json:1");
    CHECK(error_of("[\n\n01]").where == "job.json:3");
    CHECK(error_of("[\"\xC3\x28\"]").where == "job.json:1");
    CHECK(error_of("").what.find("empty") != std::string::npos);
    CHECK(error_of(" \n").what.find("empty") != std::string::npos);
    CHECK(error_of("\xEF\xBB\xBF{}").what.find("byte-order mark") != std::string::npos);
}

TEST_CASE("columns count characters, not bytes") {
    CHECK(error_of("[\"\xC3\xA4\xC3\xA4\" x]").what.substr(0, 9) == "column 7:");
    CHECK(error_of("[\"aa\" x]").what.substr(0, 9) == "column 7:");
}

TEST_CASE("a member that stands twice is refused with its line") {
    const Error twice = error_of("{\n \"a\": 1,\n \"b\": {\"a\": 2},\n \"a\": 3}");
    CHECK(twice.where == "job.json:4");
    CHECK(twice.what.find("\"a\"") != std::string::npos);
    // Of few members and of many, the first and the last.
    for (const int count : {1, 2, 15, 16, 17, 18, 40})
        for (const int again : {0, count - 1}) {
            std::string text = "{";
            for (int i = 0; i < count; ++i)
                text += "\"k" + std::to_string(i) + "\": 1,\n";
            CHECK(parse_json(text + "\"other\": 1}", "x"));
            CHECK(error_of(text + "\"k" + std::to_string(again) + "\": 1}").where ==
                  "job.json:" + std::to_string(count + 1));
        }
}

TEST_CASE("deep nesting is refused, not followed to a crash") {
    CHECK(parse_json(std::string(200, '[') + std::string(200, ']'), "x"));
    CHECK(error_of(std::string(201, '[') + std::string(201, ']')).what.find("200") != std::string::npos);
    CHECK(error_of(std::string(3'000'000, '[')).what.find("200") != std::string::npos);
}

TEST_CASE("whole numbers are exact up to 64 bits, larger ones become doubles") {
    const auto value =
        parse_json("[9223372036854775807, -9223372036854775808, 9223372036854775808, 9007199254740993]", "x");
    REQUIRE(value);
    const JsonArray& list = value->array();
    CHECK(list[0].integer() == std::numeric_limits<std::int64_t>::max());
    CHECK(list[1].integer() == std::numeric_limits<std::int64_t>::min());
    CHECK_FALSE(list[2].is_integer());
    CHECK(list[2].number() == 9223372036854775808.0);
    CHECK(list[3].integer() == 9007199254740993);
}

TEST_CASE("text of a value is laid out as documented") {
    Json value(JsonObject{{"name", "a \"b\"\n\x01"}, {"rate", 25.0}, {"list", JsonArray{1, 2.5}}});
    value.add("empty", JsonArray{});
    value.add("words", JsonArray{"x", nullptr, true});
    value.add("none", JsonObject{});
    value.add("count", std::size_t{7});
    CHECK(to_text(value) == "{\n"
                            "  \"name\": \"a \\\"b\\\"\\n\\u0001\",\n"
                            "  \"rate\": 25.0,\n"
                            "  \"list\": [1, 2.5],\n"
                            "  \"empty\": [],\n"
                            "  \"words\": [\n"
                            "    \"x\",\n"
                            "    null,\n"
                            "    true\n"
                            "  ],\n"
                            "  \"none\": {},\n"
                            "  \"count\": 7\n"
                            "}\n");
}

TEST_CASE("law: writing and reading again gives the same doubles and integers") {
    for (const double number :
         {0.1, 1.0 / 3, 30000.0 / 1001, 5e-324, 1.7976931348623157e308, -0.0, 1e21, 123456789.125}) {
        const auto back = parse_json(to_text(Json(number)), "x");
        REQUIRE(back);
        CHECK_FALSE(back->is_integer());
        CHECK(back->number() == number);
        CHECK(std::signbit(back->number()) == std::signbit(number));
    }
    for (const std::int64_t number :
         {std::int64_t{0}, std::numeric_limits<std::int64_t>::min(), std::int64_t{1} << 60}) {
        const auto back = parse_json(to_text(Json(number)), "x");
        REQUIRE(back);
        REQUIRE(back->is_integer());
        CHECK(back->integer() == number);
    }
}

TEST_CASE("valid UTF-8 is kept, stray bytes become U+FFFD") {
    CHECK(to_text(Json("Str\xC3\xA4nd \xE2\x9C\x93 \xF0\x9F\x8F\x90")) ==
          "\"Str\xC3\xA4nd \xE2\x9C\x93 \xF0\x9F\x8F\x90\"\n");
    CHECK(to_text(Json("a\xFF"
                       "b")) == "\"a\xEF\xBF\xBD"
                                "b\"\n");
    CHECK(to_text(Json("\xE2\x9C")) == "\"\xEF\xBF\xBD\xEF\xBF\xBD\"\n");
}

// RFC 8259, section 13, the first of its examples in our words: numbers, an array of numbers, nesting.
TEST_CASE("an object in the shape of RFC 8259's image example survives") {
    const auto value = parse_json(
        R"({"Image": {"Width": 800, "Height": 600, "Title": "View", "Animated": false, "IDs": [116, 943, 234, 38793]}})",
        "x");
    REQUIRE(value);
    CHECK(value->find("Image")->find("IDs")->array().back().integer() == 38793);
    const std::string once = to_text(*value);
    CHECK(to_text(*parse_json(once, "x")) == once);
}
