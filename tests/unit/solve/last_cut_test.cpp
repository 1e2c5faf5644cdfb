// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "unit/solve/random_job.h"

#include "downball/solve/last_cut.h"
#include "downball/solve/terms.h"

#include <algorithm>
#include <limits>
#include <set>
#include <string>
#include <utility>
#include <vector>

using namespace downball;
using What = solve::CutChange::What;

namespace {

std::vector<What> kinds(const std::vector<solve::CutChange>& changes) {
    std::vector<What> all;
    for (const auto& change : changes)
        all.push_back(change.what);
    return all;
}

double share_that_stays(const LastCut& before, const LastCut& now, Rate rate) {
    const auto all = kinds(solve::cut_changes(before, now, rate));
    return static_cast<double>(std::count(all.begin(), all.end(), What::stayed)) /
           static_cast<double>(before.shots.size());
}

CutPlan cut_of(const solve::Problem& problem) {
    auto outcome = solve::solve(problem);
    REQUIRE(std::holds_alternative<CutPlan>(outcome));
    return std::get<CutPlan>(outcome);
}

double keep_value(const CutPlan& plan) {
    return std::find_if(plan.terms.begin(), plan.terms.end(), [](const auto& t) { return t.name == "keep"; })
        ->value;
}

// Shots of `cut` that `other` has too.
int shared_shots(const LastCut& cut, const LastCut& other) {
    return static_cast<int>(std::count_if(cut.shots.begin(), cut.shots.end(), [&](const auto& shot) {
        return std::any_of(other.shots.begin(), other.shots.end(), [&](const auto& there) {
            return shot.action == there.action &&
                   (shot.action ? shot.id == there.id : shot.take == there.take);
        });
    }));
}

} // namespace

TEST_CASE("changes between two cuts: what stays, moves, leaves and comes, in order of time") {
    const LastCut before{{{"t1#1", "t1", true, 1.00, Fraction(1), {}, {}},
                          {"t2@1", "t2", false, 2.00, Fraction(1), {}, {}},
                          {"t3#1", "t3", true, 3.00, Fraction(1), {}, {}},
                          {"t4#1", "t4", true, 4.00, Fraction(1), {}, {}}}};
    const LastCut now{{{"t1#1", "t1", true, 1.019, Fraction(1), {}, {}},   // under half a frame of 25
                       {"t3#1", "t3", true, 2.00, Fraction(1), {}, {}},    // elsewhere
                       {"t2@2", "t2", false, 2.50, Fraction(1), {}, {}},   // told by its take, elsewhere too
                       {"t4#1", "t4", true, 4.00, Fraction(1, 4), {}, {}}, // at another speed
                       {"t5#1", "t5", true, 5.00, Fraction(1), {}, {}}}};
    const auto changes = solve::cut_changes(before, now, Rate(25));
    CHECK(kinds(changes) == std::vector{What::stayed, What::moved, What::moved, What::moved, What::came});
    CHECK(changes[1].now == 2);
    CHECK(changes[2].before == 2);
    CHECK(changes[2].now == 1);
    const auto back = solve::cut_changes(now, before, Rate(25));
    CHECK(std::count_if(back.begin(), back.end(), [](const auto& c) { return c.what == What::left; }) == 1);
}

TEST_CASE("a shot that stands twice is paired with itself twice") {
    const LastCut cut{
        {{"t1#1", "t1", true, 1, Fraction(1), {}, {}}, {"t1#1", "t1", true, 5, Fraction(1, 4), {}, {}}}};
    CHECK(kinds(solve::cut_changes(cut, cut, Rate(25))) == std::vector{What::stayed, What::stayed});
}

TEST_CASE("cut again without a change of limits, every shot stays and its keep is 1") {
    for (const std::uint64_t seed : {3U, 8U, 21U}) {
        INFO("seed " << seed);
        tests::Job job = tests::make_job(seed, {30, 30, 126, Rate(25), 3, 0.25, 8});
        const CutPlan first = cut_of(job.problem());
        CHECK(keep_value(first) == 0);
        const LastCut last = solve::as_last_cut(job.problem(), first);
        solve::Problem again = job.problem();
        again.last = &last;
        const CutPlan second = cut_of(again);
        CHECK(share_that_stays(last, solve::as_last_cut(again, second), Rate(25)) == 1);
        CHECK(keep_value(second) == Approx(1));
        CHECK(solve::check(again, second) == std::vector<std::string>{});
        CHECK(solve::score(again, second).score == Approx(second.score).epsilon(1e-9));
        CHECK(second.limit >= second.score);
    }
}

TEST_CASE("with the weight of keep at 0 the last cut has no say") {
    tests::Job job = tests::make_job(5, {30, 20, 126, Rate(25), 3, 0.25, 8});
    const CutPlan first = cut_of(job.problem());
    tests::Job other = job;
    other.limits.weights.pace = 0;
    other.limits.weights.rating = 5;
    const LastCut last = solve::as_last_cut(other.problem(), cut_of(other.problem()));
    REQUIRE(share_that_stays(last, solve::as_last_cut(job.problem(), first), Rate(25)) < 0.9);
    job.limits.weights.keep = 0;
    solve::Problem again = job.problem();
    again.last = &last;
    const CutPlan second = cut_of(again);
    CHECK(second.score == first.score);
    CHECK(second.limit == first.limit);
}

TEST_CASE("a stop before the first round gives the last cut") {
    tests::Job job = tests::make_job(5, {12, 20, 126, Rate(25), 2, 0.25, 8});
    const LastCut last = solve::as_last_cut(job.problem(), cut_of(job.problem()));
    std::stop_source source;
    source.request_stop();
    LongWork work;
    work.stop = source.get_token();
    solve::Problem again = job.problem();
    again.last = &last;
    const auto outcome = solve::solve(again, work);
    REQUIRE(std::holds_alternative<CutPlan>(outcome));
    const CutPlan& plan = std::get<CutPlan>(outcome);
    CHECK(solve::check(again, plan).empty());
    CHECK(share_that_stays(last, solve::as_last_cut(again, plan), Rate(25)) == 1);
}

TEST_CASE("a last cut that nobody made is no cut") {
    tests::Job job = tests::make_job(5, {30, 20, 126, Rate(25), 3, 0.25, 8});
    const LastCut good = solve::as_last_cut(job.problem(), cut_of(job.problem()));
    constexpr auto most = std::numeric_limits<std::int64_t>::max();
    for (const Frame source : {Frame{most}, Frame{most - 1000}, Frame{0} - Frame{most}}) {
        LastCut last = good;
        for (auto& shot : last.shots)
            shot.source_in = source;
        solve::Problem again = job.problem();
        again.last = &last;
        CHECK(solve::check(again, cut_of(again)).empty());
    }
}

TEST_CASE("after one weight changed by a tenth, four of five shots stay", "[hundreds]") {
    int jobs = 0;
    for (const std::uint64_t seed : {1U, 2U, 4U, 6U}) {
        tests::Job job = tests::make_job(seed, {30, 30, 126, Rate(25), 3, 0.25, 8});
        const LastCut last = solve::as_last_cut(job.problem(), cut_of(job.problem()));
        for (double Weights::*weight : {&Weights::pace, &Weights::variety, &Weights::accent}) {
            tests::Job changed = job;
            changed.limits.weights.*weight *= seed % 2 ? 1.1 : 0.9;
            solve::Problem again = changed.problem();
            again.last = &last;
            INFO("seed " << seed << ", job " << jobs++);
            CHECK(share_that_stays(last, solve::as_last_cut(again, cut_of(again)), Rate(25)) >= 0.8);
        }
    }
}

TEST_CASE("a cut to differ from names contacts and takes, and what share of them may be shared") {
    const LastCut cut{{{"t1#1", "t1", true, 1, Fraction(1), {}, {}},
                       {"t2@1", "t2", false, 2, Fraction(1), {}, {}},
                       {"t3#1", "t3", true, 3, Fraction(1), {}, {}},
                       {"t3#2", "t3", true, 4, Fraction(1), {}, {}},
                       {"t4@1", "t4", false, 5, Fraction(1), {}, {}}}};
    const OtherCut half = solve::differ_from(cut, "reel", 0.5);
    CHECK(half.name == "reel");
    CHECK(half.contacts == std::set<std::string>{"t1#1", "t3#1", "t3#2"});
    CHECK(half.takes == std::set<std::string>{"t2", "t4"});
    CHECK(half.shared_share_max == 0.5);
    CHECK(solve::differ_from(cut, "reel", 1).shared_share_max == 0);
}

TEST_CASE("the judge names a cut that shares too many shots with another") {
    tests::Job job = tests::make_job(3, {24, 16, 120, Rate(25), 3, 0.3, 8});
    const CutPlan first = cut_of(job.problem());
    const LastCut before = solve::as_last_cut(job.problem(), first);
    const auto shots = static_cast<int>(first.shots.size());
    REQUIRE(shots > 1);
    OtherCut other = solve::differ_from(before, "reel-v7", 0.5);
    SECTION("as many as there are may be shared") {
        other.shared_share_max = 1;
        job.limits.others = {other};
        CHECK(solve::check(job.problem(), first) == std::vector<std::string>{});
    }
    SECTION("one fewer may") {
        other.shared_share_max = (shots - 1.0) / shots;
        job.limits.others = {other};
        const auto breaches = solve::check(job.problem(), first);
        REQUIRE(breaches.size() == 1);
        CHECK(breaches.front().find("reel-v7") != std::string::npos);
    }
    SECTION("contacts and takes are told apart") {
        std::swap(other.contacts, other.takes);
        other.shared_share_max = 0;
        job.limits.others = {other};
        CHECK(solve::check(job.problem(), first) == std::vector<std::string>{});
    }
    SECTION("each of several cuts is judged by itself") {
        OtherCut stranger = other;
        stranger.name = "reel-v8";
        stranger.contacts = {"t99#1"};
        stranger.takes.clear();
        stranger.shared_share_max = 0;
        job.limits.others = {stranger, other};
        const auto breaches = solve::check(job.problem(), first);
        REQUIRE(breaches.size() == 1);
        CHECK(breaches.front().find("reel-v7") != std::string::npos);
    }
}

TEST_CASE("a version keeps to what it may share, and its judge and limit with it", "[hundreds]") {
    for (const std::uint64_t seed : {3U, 8U, 21U}) {
        for (const double share : {0.3, 0.7}) {
            tests::Job job = tests::make_job(seed, {30, 30, 126, Rate(25), 3, 0.25, 8});
            const CutPlan first = cut_of(job.problem());
            const LastCut before = solve::as_last_cut(job.problem(), first);
            job.limits.others = {solve::differ_from(before, "reel", share)};
            const CutPlan second = cut_of(job.problem());
            const int shared = shared_shots(solve::as_last_cut(job.problem(), second), before);
            INFO("seed " << seed << ", share " << share << ": " << shared << " of " << second.shots.size());
            CHECK(shared <= (1 - share) * static_cast<double>(second.shots.size()) + 1e-9);
            CHECK(solve::check(job.problem(), second) == std::vector<std::string>{});
            CHECK(second.score <= first.limit + 1e-9); // a limit more never makes a better cut
        }
    }
}

// A cut of fewer, longer shots could else hold hardly any of its own.
TEST_CASE("a version differs in that share of its own shots") {
    for (std::uint64_t seed = 1; seed < 9; ++seed) {
        tests::Job job = tests::make_job(seed, {14, 16, 120, Rate(25), 3, 0.25, 8});
        auto outcome = solve::solve(job.problem());
        if (!std::holds_alternative<CutPlan>(outcome)) continue;
        const LastCut before = solve::as_last_cut(job.problem(), std::get<CutPlan>(outcome));
        job.limits.others = {solve::differ_from(before, "reel", 0.5)};
        outcome = solve::solve(job.problem());
        if (!std::holds_alternative<CutPlan>(outcome)) continue;
        const LastCut now = solve::as_last_cut(job.problem(), std::get<CutPlan>(outcome));
        INFO("seed " << seed << ": shots " << before.shots.size() << " then " << now.shots.size());
        CHECK(shared_shots(now, before) <= 0.5 * static_cast<double>(now.shots.size()));
    }
}

// What is locked is a cut but for some shots, so there is one; a first cut has to keep clear of all that is to come.
TEST_CASE("a cut of which most shots are locked in place is found again") {
    for (std::uint64_t seed = 1; seed <= 5; ++seed) {
        INFO("seed " << seed);
        tests::Job job = tests::make_job(seed, {45, 60, 126, Rate(25), 3, 0.3, 8});
        const CutPlan first = cut_of(job.problem());
        tests::Dice dice(seed);
        for (const PlannedShot& shot : first.shots)
            if (dice.whole(1, 12) > 1) {
                const int held = shot.stretches.empty() ? 1 : static_cast<int>(shot.anchors.size());
                job.limits.locks.push_back(
                    {shot.id, shot.record.in, shot.source_in, shot.anchors.empty() ? 0 : held});
            }
        // An ordinal says that no other shot of the take comes before.
        std::erase_if(job.limits.locks, [](const Lock& lock) { return lock.shot.ends_with("@2"); });
        const CutPlan again = cut_of(job.problem());
        CHECK(solve::check(job.problem(), again) == std::vector<std::string>{});
    }
}
