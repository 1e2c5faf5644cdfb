// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/bars.h"
#include "support/catch.h"

using namespace downball;
using beats::BeatSteps;

namespace {

// Beats whose bar begins at `first`: kick and a new chord on the first, snare on even beats, quavers on hats.
BeatSteps song(std::size_t beats, int metre, std::size_t first, std::size_t extra_at = SIZE_MAX) {
    BeatSteps s;
    s.beats = beats;
    s.value.assign(beats * BeatSteps::steps * BeatSteps::kinds, 0.0f);
    std::size_t slip = 0;
    for (std::size_t i = 0; i < beats; ++i) {
        if (i == extra_at) slip = 1; // one beat too many from here on
        const auto m = static_cast<std::size_t>(metre);
        const std::size_t p = (i + 10 * m - first - slip) % m;
        const bool back = metre == 4 ? p % 2 == 1 : p > 0;
        const auto put = [&](std::size_t step, BeatSteps::Kind kind, double x) {
            s.value[(i * BeatSteps::steps + step) * BeatSteps::kinds + static_cast<std::size_t>(kind)] =
                static_cast<float>(x);
        };
        put(0, BeatSteps::low, p == 0 ? 3 : 0.5 + 0.1 * static_cast<double>(i % 3));
        put(0, BeatSteps::presence, back ? 3 : 0.4);
        put(0, BeatSteps::mid, back ? 2 : 1);
        put(0, BeatSteps::high, 1);
        put(6, BeatSteps::high, 1);
        put(0, BeatSteps::harmony, p == 0 ? 0.5 : 0.1);
        for (std::size_t step = 0; step < BeatSteps::steps; ++step) {
            put(step, BeatSteps::loudness, -12);
            put(step, BeatSteps::bass, -18);
        }
    }
    return s;
}

beats::BarCues cues(const BeatSteps& steps, std::size_t first) {
    return beats::bar_cues(steps, 0, beats::likeness(steps), first);
}

} // namespace

TEST_CASE("The bar begins where kick and chord change fall, wherever the first beat stands", "[beats]") {
    for (const int metre : {3, 4})
        for (std::size_t first = 0; first < static_cast<std::size_t>(metre); ++first) {
            const auto bars = beats::find_bars(cues(song(48, metre, first), first));
            REQUIRE(bars.beats_per_bar == metre);
            for (std::size_t i = 0; i < 48; ++i)
                CHECK((bars.position[i] == 1) == ((i + 12 - first) % static_cast<std::size_t>(metre) == 0));
            CHECK(bars.confidence > 0.5);
        }
}

TEST_CASE("A bar with a beat too many is counted anew after it", "[beats]") {
    const auto bars = beats::find_bars(cues(song(80, 4, 0, 40), 0));
    CHECK(bars.position[36] == 1);
    CHECK(bars.position[41] == 1);
    CHECK(bars.position[77] == 1);
}

TEST_CASE("A metre asked for is counted, and six are two threes", "[beats]") {
    const auto steps = song(60, 3, 1);
    for (const int metre : {2, 3, 4, 6}) {
        const auto bars = beats::find_bars(cues(steps, 1), metre);
        REQUIRE(bars.beats_per_bar == metre);
        for (std::size_t i = 1; i < bars.position.size(); ++i)
            CHECK(bars.position[i] == bars.position[i - 1] % metre + 1);
    }
    const auto six = beats::find_bars(cues(steps, 1), 6);
    for (std::size_t i = 1; i < 60; i += 3)
        CHECK(six.position[i] % 3 == 1);
}

TEST_CASE("Beats all alike have no sure downbeat, and too few have none", "[beats]") {
    BeatSteps flat;
    flat.beats = 40;
    flat.value.assign(40 * BeatSteps::steps * BeatSteps::kinds, 1.0f);
    CHECK(beats::find_bars(cues(flat, 0)).confidence <
          0.8); // where the music begins is all there is to go by
    CHECK(beats::find_bars(cues(song(6, 4, 0), 0)).position.empty());
}

TEST_CASE("Likeness finds the distance at which music comes back, and what is in every beat", "[beats]") {
    const auto three = beats::likeness(song(60, 3, 0)), four = beats::likeness(song(60, 4, 0));
    using L = beats::Likeness;
    CHECK(three.value[L::three] > 0.9);
    CHECK(three.value[L::three] > three.value[L::two] + 0.5);
    CHECK(four.value[L::four] > 0.9);
    CHECK(four.value[L::four] > four.value[L::three] + 0.5);
    BeatSteps same = song(60, 4, 0);
    for (std::size_t row = BeatSteps::steps * BeatSteps::kinds; row < same.value.size(); ++row)
        same.value[row] = same.value[row - BeatSteps::steps * BeatSteps::kinds];
    CHECK(beats::likeness(same).constant > 0.99);
}
