// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/feature_stream.h"
#include "beats/steady_grid.h"
#include "support/catch.h"
#include "support/song_patterns.h"

using namespace downball;

namespace {

constexpr int rate = 22050;

template <class Instant>
beats::OnsetClock clock_of(Instant instant, int strokes) {
    test::Mix mix(rate, instant(strokes - 1) + 0.5);
    for (int i = 0; i < strokes; ++i)
        mix.noise(instant(i), 0.5, 0.0003, 0.02);
    beats::FeatureStream stream(rate, 1);
    const float* channel[] = {mix.samples().data()};
    REQUIRE(stream.push({channel, mix.samples().size()}));
    return beats::OnsetClock(stream.finish());
}

template <class Instant>
std::vector<double> rough(Instant instant, int strokes) {
    std::vector<double> out; // what a tracker with steps of 6 ms hands over
    for (int i = 0; i < strokes; ++i)
        out.push_back(std::round(instant(i) / 0.006) * 0.006);
    return out;
}

} // namespace

TEST_CASE("The onset clock reads a stroke to two cells of 0.73 ms, however far off it was asked", "[beats]") {
    const auto instant = [](int i) { return 0.5 + 0.61803 * i; };
    const auto clock = clock_of(instant, 12);
    for (int i = 0; i < 12; ++i)
        for (const double off : {-0.02, 0.0, 0.013}) {
            const auto hit = clock.near(instant(i) + off, 0.04, 0.02);
            CHECK(std::abs(hit.seconds - instant(i)) < 0.0015);
            CHECK(hit.rise > 1);
        }
    CHECK(clock.near(instant(3) + 0.3, 0.04, 0.02).rise < 1);
}

TEST_CASE("A steady row of strokes gives its offset and period back", "[beats]") {
    const auto instant = [](int i) { return 0.337 + 0.4712 * i; };
    const auto grid = beats::fit_steady(clock_of(instant, 120), rough(instant, 120));
    REQUIRE(grid);
    CHECK(grid->period_s == Approx(0.4712).epsilon(1e-5));
    const double at_100 =
        grid->offset_s + grid->period_s * std::round((instant(100) - grid->offset_s) / grid->period_s);
    CHECK(std::abs(at_100 - instant(100)) < 0.001);
    CHECK(grid->residual_s < 0.001);
}

TEST_CASE("A stretch of beats on the off-beat does not bend the grid", "[beats]") {
    const auto instant = [](int i) { return 0.4 + 0.48 * i; };
    auto beats_s = rough(instant, 128);
    for (std::size_t i = 48; i < 80; ++i)
        beats_s[i] += 0.24;
    const auto grid = beats::fit_steady(clock_of(instant, 128), beats_s);
    REQUIRE(grid);
    CHECK(grid->period_s == Approx(0.48).epsilon(1e-5));
}

TEST_CASE("A drift, a step and a ramp are no steady grid", "[beats]") {
    const auto drift = [](int i) { return 0.5 + 0.5 * i + 0.04 * std::sin(i / 20.0); };
    const auto step = [](int i) { return i < 60 ? 0.5 + 0.5 * i : 30.5 + 0.46 * (i - 60); };
    const auto ramp = [](int i) { return 0.5 + 0.5 * i - 0.0004 * i * i; };
    CHECK(!beats::fit_steady(clock_of(drift, 120), rough(drift, 120)));
    CHECK(!beats::fit_steady(clock_of(step, 120), rough(step, 120)));
    CHECK(!beats::fit_steady(clock_of(ramp, 120), rough(ramp, 120)));
}

TEST_CASE("Where the tempo moves, beats are set onto the strokes", "[beats]") {
    const auto drift = [](int i) { return 0.5 + 0.5 * i + 0.04 * std::sin(i / 20.0); };
    const auto set = beats::follow(clock_of(drift, 120), rough(drift, 120));
    REQUIRE(set.size() == 120);
    for (int i = 0; i < 120; ++i)
        CHECK(std::abs(set[static_cast<std::size_t>(i)] - drift(i)) < 0.0015);
}
