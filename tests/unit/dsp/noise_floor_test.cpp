// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/dsp/noise_floor.h"

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
