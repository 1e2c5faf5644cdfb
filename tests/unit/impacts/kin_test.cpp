// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/kin.h"
#include "support/catch.h"

using namespace downball::impacts;

namespace {

Candidate sound(double seconds, float first, float colour, float level = 1) {
    Candidate c;
    c.seconds = seconds;
    c.level = level;
    c.rise.fill(3);
    c.colour.fill(-2);
    c.colour[5] = colour;
    c.features[Feature::first] = first;
    return c;
}

} // namespace

TEST_CASE("a sound like the sure contacts around it has more kin than one unlike them") {
    Near near{sound(1, 4, -1), sound(2.2, -1, -1), sound(2.9, -1, -4), sound(4, 4, -1.2f)};
    judge_kin(near, 1);
    judge_kin(near, 2);
    CHECK(near[1].features[Feature::kin_most] > 0.9f);
    CHECK(near[2].features[Feature::kin_most] < 0.3f);
    CHECK(near[1].features[Feature::kin_sum] > near[2].features[Feature::kin_sum]);
}

TEST_CASE("unlikely sounds, echoes and far ones are no kin") {
    Near near{sound(1, -6, -1), sound(14, -1, -1), sound(14.05, 5, -1), sound(27, 5, -1)};
    judge_kin(near, 1);
    CHECK(near[1].features[Feature::kin_most] < 0.01f);
    CHECK(near[1].features[Feature::kin_sure] < 0.01f);
    CHECK(near[1].features[Feature::kin_level] == Approx(0).margin(0.01));
}

TEST_CASE("the level is told against that of the likely contacts") {
    Near near{sound(1, 5, -1, 10), sound(2, 0, -1, 1), sound(3, 5, -1, 10), sound(4, -8, -1, 0.001f)};
    judge_kin(near, 1);
    CHECK(near[1].features[Feature::kin_level] < -1.5f);
}
