// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "unit/solve/random_job.h"

#include "downball/solve/terms.h"

using namespace downball;

TEST_CASE("a cut of a usual job keeps every limit and its score is what score() says") {
    tests::Job job = tests::make_job(7, {20, 20, 126, Rate(25), 3, 0.25, 8});
    solve::Outcome outcome = solve::solve(job.problem());
    REQUIRE(std::holds_alternative<CutPlan>(outcome));
    const CutPlan& plan = std::get<CutPlan>(outcome);
    CHECK(solve::check(job.problem(), plan) == std::vector<std::string>{});
    CHECK(solve::score(job.problem(), plan).score == Approx(plan.score).epsilon(1e-12));
    CHECK(plan.limit >= plan.score);
}

TEST_CASE("a log of actions alone is cut too: the opening one leads in for as long as it takes") {
    tests::Job job = tests::make_job(2, {20, 12, 126, Rate(25), 3, 0, 8});
    for (Beat& beat : job.beats.beats)
        beat.seconds += 0.6;
    job.beats.duration_s += 0.6;
    solve::Outcome outcome = solve::solve(job.problem());
    REQUIRE(std::holds_alternative<CutPlan>(outcome));
    const CutPlan& plan = std::get<CutPlan>(outcome);
    CHECK(solve::check(job.problem(), plan) == std::vector<std::string>{});
    CHECK(plan.shots.front().record.in.n == 0);
    CHECK_FALSE(plan.shots.front().anchors.empty());
}
