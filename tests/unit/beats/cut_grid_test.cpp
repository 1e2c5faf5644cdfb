// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "support/song_forms.h"

#include "downball/beats/song_cut.h"

#include <cmath>

using namespace downball;
using namespace downball::beats;
using downball::test::song_of;

namespace {

// 120 to the minute from 0.5 s on: beat i stands at 0.5 + i / 2, a part of 8 bars has 32 beats.
BeatGrid three_parts() {
    auto grid = song_of({{8, 0.2, 0}, {8, 0.8, 1}, {8, 0.4, 0}}, 120, 0.5, 2);
    grid.arrival = 32;
    return grid;
}

double at(const BeatGrid& grid, std::size_t beat) {
    return grid.beats[beat].seconds - ahead_of_beat_s;
}

SongCut cut_from(std::vector<SongPiece> pieces) {
    SongCut cut;
    cut.pieces = std::move(pieces);
    return cut;
}

} // namespace

TEST_CASE("the grid of one piece is the song's, counted from its first sample") {
    const auto grid = three_parts();
    const auto heard = cut_grid(grid, cut_from({{at(grid, 16), at(grid, 80)}}));
    REQUIRE(heard.beats.size() == 64);
    CHECK(heard.textures.size() == 64);
    CHECK(heard.duration_s == Approx(32));
    for (std::size_t i = 0; i < heard.beats.size(); ++i) {
        CHECK(heard.beats[i].seconds == Approx(ahead_of_beat_s + 0.5 * static_cast<double>(i)).margin(1e-9));
        CHECK(heard.beats[i].position == static_cast<int>(i % 4) + 1);
    }
    CHECK(heard.arrival == 16);
    REQUIRE(heard.sections.size() == 3);
    CHECK((heard.sections[0].first == 0 && heard.sections[0].last == 16));
    CHECK((heard.sections[1].first == 16 && heard.sections[1].last == 48));
    CHECK((heard.sections[2].first == 48 && heard.sections[2].last == 64));
    CHECK(heard.sections[1].energy == Approx(0.8));
    REQUIRE(heard.phrases.size() == 3);
    CHECK((heard.phrases[2].first == 48 && heard.phrases[2].last == 64));
}

TEST_CASE("at a jump no beat is doubled or missed, and the spacing stays") {
    const auto grid = three_parts();
    // Out after four bars of the first part, in after four bars of the third.
    const auto heard = cut_grid(grid, cut_from({{0, at(grid, 16)}, {at(grid, 80), grid.duration_s}}));
    REQUIRE(heard.beats.size() == 16 + 16);
    for (std::size_t i = 1; i < heard.beats.size(); ++i) {
        CHECK(heard.beats[i].seconds - heard.beats[i - 1].seconds == Approx(0.5).margin(1e-9));
        CHECK(heard.beats[i].position == static_cast<int>(i % 4) + 1);
    }
    CHECK_FALSE(heard.arrival);
    REQUIRE(heard.sections.size() == 2); // another part begins where the jump lands
    CHECK(heard.sections[1].first == 16);
    REQUIRE(heard.phrases.size() == 1); // while the sentence goes on: four bars and four more
    CHECK((heard.phrases[0].first == 0 && heard.phrases[0].last == 32));
}

TEST_CASE("a jump back plays a phrase again, and the arrival is where it is first heard") {
    const auto grid = three_parts();
    const auto heard = cut_grid(grid, cut_from({{at(grid, 32), at(grid, 64)}, {at(grid, 32), at(grid, 64)}}));
    REQUIRE(heard.beats.size() == 64);
    CHECK(heard.arrival == 0);
    REQUIRE(heard.phrases.size() == 2);
    CHECK(heard.phrases[1].first == 32);
    CHECK(heard.beats[32].seconds - heard.beats[31].seconds == Approx(0.5).margin(1e-9));
}

TEST_CASE("silence behind the cut counts to its length") {
    const auto grid = three_parts();
    auto cut = cut_from({{0, 10}});
    cut.silence_s = 1.5;
    CHECK(cut_grid(grid, cut).duration_s == Approx(11.5));
}
