// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/rigid_grid.h"
#include "support/catch.h"
#include "support/click_onsets.h"

using namespace downball;
using namespace downball::test;

TEST_CASE("A rigid grid finds period and phase of clicks, through a gap of 20 s and from a guess 1 % off",
          "[beats]") {
    for (const double period_s : {0.3512, 0.5, 0.7431}) {
        const double first_s = 2.2;
        const auto all = clicks(first_s, 90, [&](double) { return period_s; });
        std::vector<double> heard;
        for (const double t : all)
            if (t < 30 || t > 50) heard.push_back(t);
        auto onsets = click_onsets(heard);
        onsets.first = static_cast<std::size_t>(2.0 / onsets.frame_s);
        for (const double guess : {0.99, 1.0, 1.01}) {
            const auto grid = beats::rigid_grid(onsets, guess * period_s);
            INFO("period " << period_s << " s, guess off by " << guess);
            REQUIRE(grid.size() == all.size());
            for (std::size_t i = 0; i < grid.size(); ++i) // a frame or two, also at the far end
                CHECK(std::abs(grid[i] * onsets.frame_s - all[i]) < 0.012);
        }
    }
}

TEST_CASE("No rigid grid for less than eight beats or more than a quarter of an hour", "[beats]") {
    const auto beat = [](double) { return 0.5; };
    CHECK(beats::rigid_grid(click_onsets(clicks(0.1, 3.5, beat)), 0.5).empty());
    CHECK(!beats::rigid_grid(click_onsets(clicks(0.1, 5.5, beat)), 0.5).empty());
    CHECK(beats::rigid_grid(click_onsets(clicks(0.1, 905, beat)), 0.5).empty());
}

TEST_CASE("A grid that begins with the song has its first beat at no negative frame", "[beats]") {
    const auto grid = beats::rigid_grid(click_onsets(clicks(0, 20, [](double) { return 0.5; })), 0.5);
    REQUIRE(!grid.empty());
    CHECK(grid.front() >= 0);
    CHECK(grid.front() < 2);
}
