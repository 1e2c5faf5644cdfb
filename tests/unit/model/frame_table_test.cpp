// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/model/media_info.h"

using namespace downball;

TEST_CASE("the picture shown is the last one that has begun") {
    const FrameTable constant{Rate(25), {}};
    CHECK(constant.picture_at(0.0399) == 0);
    CHECK(constant.picture_at(0.04) == 1);
    const FrameTable variable{std::nullopt, {0, 0.033, 0.1, 0.12}};
    CHECK(variable.picture_at(-1) == 0);
    CHECK(variable.picture_at(0.099) == 1);
    CHECK(variable.picture_at(0.1) == 2);
    CHECK(variable.picture_at(9) == 3);
}
