// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/beat_steps.h"
#include "support/catch.h"
#include "support/click_onsets.h"

using namespace downball;
using namespace downball::test;
using beats::BeatSteps;

namespace {

std::vector<double> frames_of(const std::vector<double>& at_s, double frame_s) {
    std::vector<double> out;
    for (const double t : at_s)
        out.push_back(t / frame_s);
    return out;
}

} // namespace

TEST_CASE("What begins in a beat stands on its twelfth", "[beats]") {
    const auto beat = clicks(1, 21, [](double) { return 0.6; });
    for (const std::size_t twelfth : {0u, 3u, 4u, 6u, 8u, 9u}) {
        std::vector<double> struck;
        for (const double t : beat)
            struck.push_back(t + 0.6 / 12 * static_cast<double>(twelfth));
        const auto onsets = click_onsets(struck, 22);
        const auto steps = beats::beat_steps(onsets, frames_of(beat, onsets.frame_s));
        REQUIRE(steps.beats == beat.size() - 1);
        CHECK(steps.period_s == Approx(0.6));
        for (std::size_t i = 0; i < steps.beats; ++i)
            for (std::size_t s = 0; s < BeatSteps::steps; ++s) {
                CHECK((steps.at(i, s, BeatSteps::mid) > 3) == (s == twelfth));
                CHECK(steps.at(i, s, BeatSteps::loudness) == Approx(-20));
            }
    }
}

TEST_CASE("A single crash counts as four, and steps past the end as nothing", "[beats]") {
    auto onsets = click_onsets({1.0, 1.5, 2.0, 2.5}, 4);
    onsets.in[beats::OnsetStrength::low][static_cast<std::size_t>(std::lround(1.5 / onsets.frame_s))] = 90;
    const auto steps = beats::beat_steps(onsets, frames_of({1.0, 1.5, 2.0, 2.5}, onsets.frame_s));
    REQUIRE(steps.beats == 3);
    CHECK(steps.at(1, 0, BeatSteps::low) == Approx(4));
    CHECK(steps.at(0, BeatSteps::steps, BeatSteps::low) ==
          Approx(4)); // the twelfth past a beat is the next one's
    CHECK(steps.at(2, BeatSteps::steps, BeatSteps::low) == Approx(0));
}

TEST_CASE("Beats that reach past the song's frames are read as far as it goes, and one beat is none",
          "[beats]") {
    const auto onsets = click_onsets({0.1, 0.6}, 1);
    const auto steps = beats::beat_steps(onsets, frames_of({0.1, 0.6, 1.1, 1.6}, onsets.frame_s));
    CHECK(steps.beats == 3);
    CHECK(steps.at(2, 6, BeatSteps::all) == Approx(0));
    CHECK(beats::beat_steps(onsets, {5}).beats == 0);
    CHECK(beats::beat_steps(onsets, {}).beats == 0);
}
