// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/dsp/noise_floor.h"

#include <algorithm>
#include <cstdint>
#include <vector>

using namespace downball::dsp;

namespace {

void push(NoiseFloor& floor, float level, int frames) {
    Bands frame;
    frame.fill(level);
    for (int i = 0; i < frames; ++i)
        floor.push(frame);
}

} // namespace

TEST_CASE("a steady level is its own floor") {
    NoiseFloor floor;
    push(floor, 0.25f, 100);
    for (const float level : floor.level())
        CHECK(level == 0.25f);
}

TEST_CASE("one loud event does not move the floor") {
    NoiseFloor floor;
    push(floor, 1, 1000);
    push(floor, 1000, 50);
    CHECK(floor.level()[3] == 1);
    push(floor, 1, 20);
    CHECK(floor.level()[3] == 1);
}

TEST_CASE("a gust is followed within 0.1 s and forgotten as fast") {
    NoiseFloor floor;
    push(floor, 1, 1008);
    push(floor, 30, 100);
    CHECK(floor.level()[0] == 30);
    push(floor, 1, 100);
    CHECK(floor.level()[0] == 1);
}

TEST_CASE("between events that take most of the time the fast part leads, else the quiet stretches do") {
    NoiseFloor floor;
    for (int i = 0; i < 20; ++i) {
        push(floor, 1, 48);
        push(floor, 100, 16);
    }
    CHECK(floor.level()[5] == 1);
}

TEST_CASE("silence has no floor") {
    NoiseFloor floor;
    push(floor, 0, 200);
    CHECK(floor.level()[2] == 0);
}

TEST_CASE("the level is that of a window sorted anew, whatever comes and goes") {
    NoiseFloor floor({.frames_per_block = 1});
    std::vector<float> seen;
    std::uint32_t state = 1;
    for (int i = 0; i < 400; ++i) {
        state = state * 1664525u + 1013904223u;
        const auto value = static_cast<float>(state >> 28); // few values, so that many are equal
        push(floor, value, 1);
        seen.push_back(value);
        const auto quantile = [&](std::size_t last, double share) {
            std::vector<float> window(seen.end() - static_cast<std::ptrdiff_t>(std::min(last, seen.size())),
                                      seen.end());
            std::sort(window.begin(), window.end());
            return window[static_cast<std::size_t>(share * static_cast<double>(window.size() - 1))];
        };
        REQUIRE(floor.level()[3] == std::max(quantile(64, 0.3), quantile(9, 0.5)));
    }
}
