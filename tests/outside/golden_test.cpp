// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "support/hand_page.h"

#include "downball/write/edl.h"
#include "downball/write/otio.h"

#include <cstdlib>
#include <fstream>
#include <iterator>

// Lists of the hand-made cut, byte for byte. A changed list is looked at as text and then taken over with
// DOWNBALL_REWRITE_GOLDEN=1. The files themselves are judged from outside by lists_test.py.

using namespace downball;

namespace {

void check_golden(const std::string& name, const std::string& written) {
    const std::string path = std::string(DOWNBALL_SOURCE_DIR) + "/tests/golden/" + name;
    if (std::getenv("DOWNBALL_REWRITE_GOLDEN")) std::ofstream(path, std::ios::binary) << written;
    std::ifstream file(path, std::ios::binary);
    REQUIRE(file);
    const std::string golden(std::istreambuf_iterator<char>(file), {});
    INFO(name);
    CHECK(written == golden);
}

} // namespace

TEST_CASE("the hand-made cut gives the golden lists and report, byte for byte") {
    const test::HandReport hand;
    check_golden("strandtag.edl", write::edl(hand.cut)->at(0));
    check_golden("strandtag.otio",
                 *write::otio(hand.cut, {.folder = "/shoot/out", .absolute_urls = false, .media_root = {}}));
    check_golden("strandtag.report.json", hand.text());
}

TEST_CASE("a drop-frame cut of 30000/1001 gives the golden list, byte for byte") {
    auto cut =
        test::long_cut(4, 100, Rate(30000, 1001), Counting::drop, Frame{107892 + 1700}); // over 01:01:00;02
    cut.video[1].speed = Fraction(1001, 4000);                                           // 007.5 exactly
    cut.video[1].source.out = cut.video[1].source.in + Frame{25};
    cut.video[1].contacts = {{Frame{110}, "dig T1#4000"}};
    check_golden("drop_frame.edl", write::edl(cut, {.crlf = false})->at(0));
    check_golden("drop_frame.otio",
                 *write::otio(cut, {.folder = "/shoot", .absolute_urls = true, .media_root = {}}));
}

// Style and script are files of their own, which the browser tests judge.
TEST_CASE("the hand-made cut gives the golden page, byte for byte") {
    auto page = test::HandPage().page();
    for (const std::string tag : {"style", "script"}) {
        const auto from = page.find("<" + tag + ">"), to = page.find("</" + tag + ">");
        REQUIRE(from < to);
        page.erase(from + tag.size() + 2, to - from - tag.size() - 2);
    }
    check_golden("strandtag.html", page);
}
