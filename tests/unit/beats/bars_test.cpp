// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/bars.h"
#include "support/catch.h"

using namespace downball;

namespace {

// Beats whose bar begins at `first`: kick and a new chord on the first, snare on even beats.
beats::BeatContent content(std::size_t beats, int metre, std::size_t first, std::size_t extra_at = SIZE_MAX) {
    beats::BeatContent c;
    std::size_t slip = 0;
    for (std::size_t i = 0; i < beats; ++i) {
        if (i == extra_at) slip = 1; // one beat too many from here on
        const auto m = static_cast<std::size_t>(metre);
        const std::size_t p = (i + 10 * m - first - slip) % m;
        const bool back = metre == 4 ? p % 2 == 1 : p > 0;
        c.low.push_back(p == 0 ? 3 : 0.5 + 0.1 * static_cast<double>(i % 3));
        c.presence.push_back(back ? 3 : 0.4);
        c.mid.push_back(back ? 2 : 1);
        c.high.push_back(1);
        c.harmony.push_back(p == 0 ? 0.5 : 0.1);
        c.loudness_db.push_back(-12);
        c.bass_db.push_back(-18);
    }
    return c;
}

} // namespace

TEST_CASE("The bar begins where kick and chord change fall, wherever the first beat stands", "[beats]") {
    for (const int metre : {3, 4})
        for (std::size_t first = 0; first < static_cast<std::size_t>(metre); ++first) {
            const auto bars =
                beats::find_bars(content(48, metre, first), metre == 3 ? 0.9 : 0.5, metre == 4 ? 0.9 : 0.5);
            REQUIRE(bars.beats_per_bar == metre);
            for (std::size_t i = 0; i < 48; ++i)
                CHECK((bars.position[i] == 1) == ((i + 12 - first) % static_cast<std::size_t>(metre) == 0));
            CHECK(bars.confidence > 0.5);
        }
}

TEST_CASE("A bar with a beat too many is counted anew after it", "[beats]") {
    const auto bars = beats::find_bars(content(80, 4, 0, 40), 0.5, 0.9);
    CHECK(bars.position[36] == 1);
    CHECK(bars.position[41] == 1);
    CHECK(bars.position[77] == 1);
}

TEST_CASE("Beats all alike have no sure downbeat, and too few have none", "[beats]") {
    beats::BeatContent flat;
    for (auto* x :
         {&flat.low, &flat.mid, &flat.presence, &flat.high, &flat.harmony, &flat.loudness_db, &flat.bass_db})
        x->assign(40, 1.0);
    CHECK(beats::find_bars(flat, 0.9, 0.9).confidence < 0.05);
    CHECK(beats::find_bars(content(6, 4, 0), 0.5, 0.9).position.empty());
}
