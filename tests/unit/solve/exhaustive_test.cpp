// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "unit/solve/exhaustive.h"

using namespace downball;

TEST_CASE("on tiny jobs the cut is the best of all cuts there are, and no cut is missed") {
    int with_cut = 0;
    for (std::uint64_t seed = 1; seed <= 200; ++seed) {
        INFO("seed " << seed);
        tests::Job job = tests::tiny_job(seed);
        tests::Exhaustive all(job);
        solve::Outcome outcome = solve::solve(job.problem());
        const auto* plan = std::get_if<CutPlan>(&outcome);
        CHECK((plan != nullptr) == all.best.has_value());
        if (!plan || !all.best) continue;
        ++with_cut;
        CHECK(solve::check(job.problem(), *plan) == std::vector<std::string>{});
        CHECK(plan->score <= *all.best + 1e-9);
        CHECK(plan->limit >= *all.best - 1e-9);
        CHECK(plan->score >= *all.best - 1e-9);
    }
    CHECK(with_cut > 75);
}
