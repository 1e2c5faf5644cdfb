// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/model/flight_times.h"

#include <cmath>

using namespace downball;

namespace {

// A ball that rises `h` metres over the hand that hits it comes back after 2 sqrt(2 h / g).
double free_flight_s(double h) {
    return 2 * std::sqrt(2 * h / 9.81);
}

} // namespace

// Ball speeds of Alexander & Honish, "The volleyball jump serve" (University of Manitoba), in straight flight.
TEST_CASE("flight times are those of published ball speeds and of free fall") {
    const auto serve = flight_times(Skill::serve, Skill::pass);
    REQUIRE(serve);
    CHECK(serve->least_s == Approx(13 / 27.0).margin(0.001));
    CHECK(serve->most_s == Approx(13 / 13.2).margin(0.001));
    const auto attack = flight_times(Skill::attack, Skill::dig);
    REQUIRE(attack);
    CHECK(attack->least_s == Approx(6 / 27.0).margin(0.001));
    CHECK(attack->most_s == Approx(6 / 13.2).margin(0.001));
    const auto block = flight_times(Skill::attack, Skill::block);
    REQUIRE(block);
    CHECK(block->least_s == Approx(0.5 / 27).margin(0.001));
    CHECK(block->most_s == Approx(1 / 13.2).margin(0.001));
    const auto pass = flight_times(Skill::pass, Skill::set);
    REQUIRE(pass);
    CHECK(pass->least_s == Approx(free_flight_s(1)).margin(0.001));
    CHECK(pass->most_s == Approx(free_flight_s(2.5)).margin(0.001));
    CHECK_FALSE(flight_times(Skill::serve, Skill::attack));
}

TEST_CASE("the density of a flight is one over all times, and even on a scale of ratios") {
    const FlightTimes range{0.5, 1.0};
    double sum = 0;
    constexpr double step = 1e-4;
    for (double t = step / 2; t < 5; t += step)
        sum += step * flight_density(t, range);
    CHECK(sum == Approx(1).margin(0.001));
    CHECK(flight_deviation(0.5, range) == Approx(-1));
    CHECK(flight_deviation(1.0, range) == Approx(1));
    CHECK(std::isfinite(flight_density(0, range)));
}
