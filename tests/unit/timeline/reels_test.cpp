// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/timeline/reels.h"

#include <algorithm>
#include <set>

using namespace downball::timeline;

namespace {

ReelWish wish(const std::string& path, const std::string& id = "", const std::string& logged = "") {
    return {path, path.substr(path.find_last_of('/') + 1), id, logged, "", ""};
}

} // namespace

TEST_CASE("EDL rule 5: a reel is one to eight characters A-Z 0-9") {
    const std::vector wishes{
        wish("/c/C1_0004.mp4"), wish("/c/VID_20260612_0017.mov"),       wish("/c/Grün-3.mp4"),
        wish("/c/---.mp4"),     wish("/c/x.mp4", "", "a001 c003_0612"), wish("/c/noending"),
        wish("/c/.hidden")};
    const auto reels = make_reels(wishes);
    CHECK(reels ==
          std::vector<std::string>{"C10004", "06120017", "GRN3", "CLIP", "A001C003", "NOENDING", "HIDDEN"});
}

TEST_CASE("EDL rule 5: different files never share a reel, and none is called as black is") {
    std::vector<ReelWish> wishes{wish("/card1/C0001.mp4", "1f2e3d4c5b6a7988"),
                                 wish("/card2/C0001.mp4", "aabbccddeeff0011"),
                                 wish("/card3/C0001.mp4", "aabbccddeeff0011"),
                                 wish("/c/bl.mp4", "0123456789abcdef"),
                                 wish("/c/ax.mp4"),
                                 wish("/d/whatever.mp4", "77", "C0001")};
    const auto reels = make_reels(wishes);
    CHECK(std::set(reels.begin(), reels.end()).size() == reels.size());
    CHECK(std::ranges::none_of(reels,
                               [](const std::string& r) { return r == "BL" || r == "AX" || r == "BLACK"; }));
    CHECK(reels[5] == "C0001"); // what the log says comes first
    CHECK(reels[0] == "C00011F2");
    CHECK(reels[1] == "C0001AAB");
    CHECK(reels[2] == "C0001BCC"); // a copy has the same content hash
    for (const auto& reel : reels)
        CHECK(reel.size() <= 8);
}

TEST_CASE("the order of the wishes moves no reel, and a later file renames no earlier one") {
    std::vector wishes{wish("/card1/C0001.mp4", "11"), wish("/card2/C0001.mp4", "222333"),
                       wish("/card3/C0001.mp4", "444555")};
    const auto before = make_reels(wishes);
    std::ranges::reverse(wishes);
    auto turned = make_reels(wishes);
    std::ranges::reverse(turned);
    CHECK(turned == before);
    std::ranges::reverse(wishes);
    wishes.push_back(wish("/card2b/C0001.mp4", "666777"));
    auto more = make_reels(wishes);
    more.pop_back();
    CHECK(more == before);
}

TEST_CASE("a hundred copies of one file still have a hundred reels") {
    const std::vector wishes(100, wish("/c/LONGNAME.mp4", "abc"));
    const auto reels = make_reels(wishes);
    CHECK(std::set(reels.begin(), reels.end()).size() == 100);
    for (const auto& reel : reels)
        CHECK(reel.size() == 8);
}
