// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/model/cut_plan.h"

using namespace downball;

TEST_CASE("the gap is the share of the limit that is not reached, and none where nothing can be scored") {
    CutPlan plan;
    plan.score = 3;
    plan.limit = 4;
    CHECK(plan.gap() == 0.25);
    plan.score = plan.limit = 0;
    CHECK(plan.gap() == 0);
    plan.limit = 1e-9; // what rounding leaves of a limit of 0
    CHECK(plan.gap() == 0);
}
