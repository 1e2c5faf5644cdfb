// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "analysis/troubles.h"
#include "support/catch.h"

using namespace downball::analysis;

TEST_CASE("troubles are told in one order, a line a kind, and then forgotten") {
    Troubles one, other;
    for (const auto* name : {"b", "a", "d", "c", "e"})
        one.add(Trouble::damaged, std::string("/kept/") + name);
    one.add(Trouble::newer, "/kept/n");
    other.add(Trouble::newer, "/kept/n");
    for (const auto* name : {"e", "d", "c", "b", "a"})
        other.add(Trouble::damaged, std::string("/kept/") + name);
    const auto lines = one.tell("/kept");
    REQUIRE(lines.size() == 2);
    CHECK(lines == other.tell("/kept"));
    CHECK(lines[0].starts_with("5 files of /kept are damaged and are made anew: a, b, c"));
    CHECK(lines[1].starts_with("a file of /kept was made by a newer version"));
    CHECK(one.tell("/kept").empty());
}

TEST_CASE("a file that is met twice is counted once") {
    Troubles troubles;
    for (int time = 0; time < 3; ++time)
        troubles.add(Trouble::newer, "/kept/a.clip.json");
    CHECK(troubles.tell("/kept") ==
          std::vector<std::string>{"a file of /kept was made by a newer version of this program and stays; "
                                   "what it tells of was found anew: a.clip.json"});
}

TEST_CASE("what could not be read or written says why, as it was first") {
    Troubles troubles;
    troubles.add(Trouble::unreadable, "/kept/a", "first");
    troubles.add(Trouble::unreadable, "/kept/b", "second");
    troubles.add(Trouble::unwritten, "/kept/c", "the disk is full");
    const auto lines = troubles.tell("/kept");
    REQUIRE(lines.size() == 2);
    CHECK(lines[0].find("a, b") != std::string::npos);
    CHECK(lines[0].find("(first)") != std::string::npos);
    CHECK(lines[1].find("the disk is full") != std::string::npos);
    CHECK(lines[1].find("/kept") != std::string::npos);
}
