// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/doubt.h"
#include "support/catch.h"

#include <cmath>

using namespace downball;
using beats::Reading;

namespace {

constexpr double frame_s = 0.005;

Reading reading(double bpm, double offset_s, double level) {
    Reading r;
    for (double t = offset_s; t < 60; t += 60 / bpm)
        r.frames.push_back(t / frame_s);
    r.level = level;
    r.salience = 0.6;
    r.likeness.constant = 0.6;
    return r;
}

} // namespace

TEST_CASE("Other tempi are told with their share of the odds, the likeliest first", "[beats]") {
    const double even = std::log(2.0); // odds of 2 to 1
    const std::vector<Reading> found{reading(100, 0, even), reading(100, 0.3, 0),  reading(50, 0, 0.1),
                                     reading(200, 0, 0.1),  reading(200, 0.15, 0), reading(150, 0, -9)};
    const auto others = beats::other_tempi(found, frame_s);
    REQUIRE(others.size() == 2);
    CHECK(others[0].tempo_bpm == Approx(200).epsilon(1e-3));
    CHECK(others[1].tempo_bpm == Approx(50).epsilon(1e-3));
    const double sum = 2 + 1 + 2 * std::exp(0.1) + 1 + std::exp(-9.0);
    CHECK(others[0].likelihood == Approx((std::exp(0.1) + 1) / sum));
    CHECK(others[1].likelihood == Approx(std::exp(0.1) / sum));
}

TEST_CASE("A tempo within 4 % is no other tempo, and a hopeless one is not told", "[beats]") {
    CHECK(beats::other_tempi({reading(100, 0, 1), reading(102, 0, 1), reading(200, 0, -2)}, frame_s).empty());
    CHECK(beats::other_tempi({}, frame_s).empty());
}

TEST_CASE("Confidence falls with rivals, not with the same beats found twice", "[beats]") {
    const double alone = beats::confidence_of({reading(100, 0, 1)});
    CHECK(alone == Approx(1));
    CHECK(beats::confidence_of({reading(100, 0, 1), reading(100, 0.001, 1)}) == Approx(1));
    CHECK(beats::confidence_of({reading(100, 0, 1), reading(200, 0, 1)}) == Approx(0.75));
    CHECK(beats::confidence_of({reading(100, 0, 1), reading(100, 0.3, 1)}) == Approx(0.75)); // the off-beat
}

TEST_CASE("Without a pulse, or with nothing that is the same on every beat, there is no confidence",
          "[beats]") {
    Reading weak = reading(100, 0, 1);
    weak.salience = 0.1;
    CHECK(beats::confidence_of({weak}) == 0);
    weak = reading(100, 0, 1);
    weak.likeness.constant = 0.05;
    CHECK(beats::confidence_of({weak}) == 0);
    CHECK(beats::confidence_of({}) == 0);
}
