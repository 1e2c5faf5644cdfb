// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "support/dice.h"

#include "downball/timeline/reels.h"

#include <algorithm>
#include <fmt/format.h>
#include <set>

using namespace downball;
using namespace downball::timeline;

namespace {

// Few names, cards and hashes, so that many files ask for the same.
std::vector<ReelWish> some_files(test::Dice& dice) {
    const std::vector<std::string> names{"C0001.MP4",       "C0002.MP4",       "VID_20260612_0001.mov",
                                         "---.mov",         "bl.mp4",          "Grün-1.mts",
                                         "A001C003_06.mov", "A001C004_06.mov", "ax.mkv"};
    const std::vector<std::string> cards{"", "", "A001R1XY", "A001", "B_002", "-", "BL"};
    const std::vector<std::string> logged{"", "", "", "", "A001C003", "MINE"};
    const auto one_of = [&](const std::vector<std::string>& words) {
        return words[static_cast<std::size_t>(dice.whole(0, static_cast<int>(words.size()) - 1))];
    };
    std::vector<ReelWish> wishes;
    const int count = dice.whole(1, 60);
    for (int i = 0; i < count; ++i) {
        ReelWish wish;
        wish.name = one_of(names);
        wish.path = fmt::format("/card{}/{}", dice.whole(0, 99), wish.name);
        wish.id = fmt::format("{:016x}", dice.whole(0, 3) == 0 ? 7 : dice.whole(0, 1 << 30));
        wish.card = one_of(cards);
        wish.logged = one_of(logged);
        wish.take = fmt::format("T{:03}", 980 + i); // past T999 on the way
        wishes.push_back(wish);
    }
    wishes.push_back({"/out/reel.song.wav", "reel.song.wav", "0123456789abcdef", "", "", ""});
    return wishes;
}

bool fits(const std::string& reel) {
    return !reel.empty() && reel.size() <= 8 && reel != "BL" && reel != "AX" && reel != "BLACK" &&
           std::ranges::all_of(reel, [](char c) { return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9'); });
}

} // namespace

TEST_CASE(
    "EDL rule 5, law: whatever files are called, each has a reel of its own, of 1 to 8 of A-Z and 0-9") {
    test::Dice dice(5);
    for (int round = 0; round < 300; ++round) {
        const auto reels = make_reels(some_files(dice));
        CHECK(std::ranges::all_of(reels, fits));
        CHECK(std::set(reels.begin(), reels.end()).size() == reels.size());
    }
}

TEST_CASE("law: files that are logged later rename none before, unless the log asks for a reel") {
    test::Dice dice(6);
    for (int round = 0; round < 300; ++round) {
        auto wishes = some_files(dice);
        const auto song = wishes.back();
        const auto before = static_cast<std::size_t>(dice.whole(1, static_cast<int>(wishes.size()) - 1));
        for (std::size_t i = before; i < wishes.size(); ++i)
            wishes[i].logged.clear();
        const auto all = make_reels(wishes);
        auto first = std::vector(wishes.begin(), wishes.begin() + static_cast<long>(before));
        first.push_back(song);
        auto some = make_reels(first);
        for (std::size_t i = 0; i < before; ++i)
            CHECK(some[i] == all[i]);
    }
}

TEST_CASE("law: neither the order of the rows nor the place of the files moves a reel") {
    test::Dice dice(7);
    for (int round = 0; round < 100; ++round) {
        auto wishes = some_files(dice);
        const auto reels = make_reels(wishes);
        for (auto& wish : wishes)
            wish.path = fmt::format("/elsewhere/{}/{}", dice.whole(0, 99), wish.name);
        std::ranges::reverse(wishes);
        auto turned = make_reels(wishes);
        std::ranges::reverse(turned);
        CHECK(turned == reels);
    }
}

TEST_CASE("of files of one name the one that was logged first keeps it, wherever the files lie") {
    const std::vector<ReelWish> wishes{{"/z/C0001.MP4", "C0001.MP4", "111222", "", "T002", ""},
                                       {"/a/C0001.MP4", "C0001.MP4", "333444", "", "T010", ""},
                                       {"/m/C0001.MP4", "C0001.MP4", "555666", "", "T1000", ""}};
    CHECK(make_reels(wishes) == std::vector<std::string>{"C0001", "C0001333", "C0001555"});
}

TEST_CASE("clips of one card have its reel: the first all of it, the others with their number") {
    const auto clip = [](const std::string& name, const std::string& take, const std::string& card) {
        return ReelWish{"/c/" + name, name, "abc123abc123abc1", "", take, card};
    };
    const std::vector wishes{clip("C0007.MP4", "T1", "A001R1XY"),
                             clip("C0008.MP4", "T2", "A001R1XY"),
                             clip("C1234.MP4", "T3", "A001R1XY"),
                             clip("A001C015_240612_R1XY.mov", "T4", "A001R1XY"),
                             clip("VID_20260612_0042.mov", "T5", "A001R1XY"),
                             clip("other/C0008.MP4", "T6", "A001R1XY"), // the number is taken
                             clip("noname.mov", "T7", "A001R1XY"),
                             clip("C0009.MP4", "T8", "")};
    CHECK(make_reels(wishes) == std::vector<std::string>{"A001R1XY", "A001C008", "A0011234", "A001C015",
                                                         "A001C042", "A001RABC", "A001R123", "C0009"});
    // A card's reel of its own for each clip stays as it is, and the log's comes first.
    auto logged = clip("C0001.MP4", "T2", "B002C001");
    logged.logged = "B002";
    CHECK(make_reels(std::vector{clip("C0002.MP4", "T1", "B002"), logged,
                                 clip("C0003.MP4", "T3", "B002C003_260612_Q7")}) ==
          std::vector<std::string>{"B002C002", "B002", "B002C003"});
}
