// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "support/hand_cut.h"

#include "downball/text/json.h"
#include "downball/write/edl.h"
#include "downball/write/otio.h"

#include <functional>
#include <sstream>

using namespace downball;
using text::Json;

namespace {

Timeline cut_of_moved_file() {
    auto cut = test::hand_cut();
    cut.media[0].moved_from = "cards/a/C1_0001.mp4";
    return cut;
}

} // namespace

TEST_CASE("EDL rule 11: a file that has moved is told under each of its events, without a path") {
    const auto lists = write::edl(cut_of_moved_file(), {.crlf = false});
    REQUIRE(lists);
    std::istringstream in((*lists)[0]);
    std::string named;
    int told = 0;
    for (std::string line; std::getline(in, line);) {
        CHECK(line.find("cards") == std::string::npos);
        if (line.starts_with("* FROM CLIP NAME: ")) named = line.substr(18);
        if (line != "* MOVED SINCE IT WAS LOGGED") continue;
        CHECK(named == "C1_0001.mp4");
        ++told;
    }
    CHECK(told == 4); // two of picture, two of sound
    CHECK((*write::edl(test::hand_cut(), {.crlf = false}))[0].find("MOVED") == std::string::npos);
}

TEST_CASE("OTIO rule 24: where a file lay when it was logged is data of our own, at its media reference") {
    const auto text = write::otio(cut_of_moved_file(), {.folder = "/shoot/out", .media_root = {}});
    REQUIRE(text);
    const auto root = text::parse_json(*text, "cut.otio");
    REQUIRE(root);
    int moved = 0, others = 0;
    const std::function<void(const Json&)> look = [&](const Json& value) {
        if (value.is_array())
            for (const Json& item : value.array())
                look(item);
        if (!value.is_object()) return;
        for (const auto& [key, member] : value.object())
            look(member);
        const Json* kind = value.find("OTIO_SCHEMA");
        if (!kind || kind->string() != "ExternalReference.1") return;
        const Json* was = value.find("metadata")->find("downball")->find("logged_as");
        if (value.find("name")->string() != "C1_0001.mp4") {
            CHECK_FALSE(was);
            ++others;
            return;
        }
        REQUIRE(was);
        CHECK(was->string() == "cards/a/C1_0001.mp4");
        ++moved;
    };
    look(*root);
    CHECK(moved == 4);
    CHECK(others == 3);
}
