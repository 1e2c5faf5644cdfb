// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/text/json.h"
#include "downball/write/listing.h"

using namespace downball;

namespace {

const Hearing hearing{{{1.25, 0.9, 0.8, 0.7, 0}, {2.5, 0.03, 0.1, 0.2, -1}, {9.5, 0.6, 0.4, 0.4, 1}},
                      0.25,
                      {"channel 2 of 2 is silent"}};

} // namespace

TEST_CASE("a contact's line is its instant and its confidence, whatever else is known of it") {
    CHECK(write::impact_lines(hearing) == "1.250000\t0.900\n2.500000\t0.030\n9.500000\t0.600\n");
}

TEST_CASE("the document of a clip tells all that is known of its contacts, and keeps to its schema") {
    const auto told = text::parse_json(write::impact_json(hearing, "a.mp4"), "x");
    REQUIRE(told);
    CHECK(text::validate(*told, "impacts", "x"));
    const auto wanted = text::parse_json(R"({"downball_impacts": 1, "file": "a.mp4", "contacts": [
        {"seconds": 1.25, "confidence": 0.9, "strength": 0.8, "hard": 0.7, "rally": 0},
        {"seconds": 2.5, "confidence": 0.03, "strength": 0.1, "hard": 0.2, "rally": null},
        {"seconds": 9.5, "confidence": 0.6, "strength": 0.4, "hard": 0.4, "rally": 1}],
        "crowd": 0.25, "notes": ["channel 2 of 2 is silent"]})",
                                         "x");
    REQUIRE(wanted);
    CHECK(text::to_text(*told) == text::to_text(*wanted));
}
