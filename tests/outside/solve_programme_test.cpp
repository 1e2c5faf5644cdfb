// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "support/solve_programme/cbc.h"
#include "support/solve_programme/model.h"
#include "support/solve_programme/retell.h"
#include "unit/solve/small_job.h"

#include "downball/solve/last_cut.h"
#include "downball/solve/terms.h"

using namespace downball;

// The solver against an integer programme of the same problem, written from the sentences of solve.h and terms.h
// (what they leave open: support/solve_programme/worth.h) and solved by a solver from outside. Source of the optimum: COIN-OR CBC (see support/solve_programme/cbc.h).
namespace {

constexpr int jobs = 200;
constexpr int most_nodes = 1000; // of branch and bound; all but seed 16 take less than 200
constexpr double most_s = 300;   // for slow machines
constexpr double nearly = 1e-6;

struct Tally {
    int cuts = 0, proven = 0, rallies = 0, conflicts = 0, missed = 0, unfinished = 0;
};

struct Answer {
    tests::programme::Solved solved;
    double optimum = 0;
    std::vector<std::string> breaches; // of the programme's cut, by the judge
};

// What the programme says, and that the judge and the score mean the same by its cut.
Answer programme_of(const solve::Problem& problem) {
    tests::programme::Model model(problem);
    Answer answer{tests::programme::run_cbc(model.program(), most_s, most_nodes), 0, {}};
    if (answer.solved.state != tests::programme::Solved::optimal) return answer;
    CutPlan plan = model.plan(answer.solved.values);
    answer.optimum = model.points(answer.solved.values);
    answer.breaches = solve::check(problem, plan);
    CHECK(solve::score(problem, plan).score == Approx(answer.optimum).epsilon(nearly));
    return answer;
}

void compare(const CutPlan& plan, const Answer& answer, Tally& tally) {
    REQUIRE(answer.solved.state == tests::programme::Solved::optimal);
    CHECK(answer.breaches == std::vector<std::string>{});
    double room = nearly * std::max(1.0, std::abs(answer.optimum));
    CHECK(plan.score <= answer.optimum + room);
    CHECK(answer.optimum <= plan.limit + room);
    ++tally.cuts;
    for (const PlannedShot& shot : plan.shots)
        tally.rallies += shot.stretches.empty() ? 0 : 1;
    if (plan.gap() > 0) return;
    ++tally.proven;
    CHECK(plan.score == Approx(answer.optimum).epsilon(nearly));
}

void compare(const Conflict& conflict, const Answer& answer, Tally& tally) {
    bool infeasible = answer.solved.state == tests::programme::Solved::infeasible;
    ++tally.conflicts;
    if (conflict.proven)
        CHECK(infeasible);
    else
        tally.missed += infeasible ? 0 : 1;
}

// A first cut of the problem, if there is one.
bool cut_before(const solve::Problem& problem, LastCut& last) {
    solve::Outcome outcome = solve::solve(problem);
    const auto* plan = std::get_if<CutPlan>(&outcome);
    if (plan) last = solve::as_last_cut(problem, *plan);
    return plan != nullptr;
}

} // namespace

TEST_CASE("on small jobs solver, judge and an integer programme mean the same") {
    REQUIRE(tests::programme::cbc_is_here());
    Tally tally;
    for (std::uint64_t seed = 1; tally.cuts + tally.conflicts < jobs; ++seed) {
        INFO("seed " << seed);
        tests::SmallJob small(seed);
        tests::Job job = small.job();
        LastCut last;
        solve::Problem problem = job.problem();
        if (seed % 4 == 0 && cut_before(problem, last)) {
            problem.last = &last;
            if (seed % 8 == 0) job.limits.others = {solve::differ_from(last, "the first", 0.3)};
        }
        Answer answer = programme_of(problem);
        if (answer.solved.state == tests::programme::Solved::unfinished) {
            REQUIRE(++tally.unfinished <= 1);
            continue;
        }
        solve::Outcome outcome = solve::solve(problem);
        std::visit([&](const auto& found) { compare(found, answer, tally); }, outcome);
    }
    // Not a comparison of empty with empty.
    CHECK(tally.cuts > jobs / 2);
    CHECK(tally.proven > tally.cuts / 2);
    CHECK(tally.conflicts > jobs / 5);
    CHECK(tally.rallies > jobs / 20);
    CHECK(tally.missed == 0); // a search that gave up and said so, where there is a cut
}

TEST_CASE("each term of a cut is what the sentences of terms.h make of it") {
    int cuts = 0;
    for (std::uint64_t seed = 1; seed <= 2 * jobs; ++seed) {
        INFO("seed " << seed);
        tests::SmallJob small(seed);
        solve::Problem problem = small.job().problem();
        LastCut last;
        if (seed % 2 == 0 && cut_before(problem, last)) {
            for (std::size_t n = 0; n < last.shots.size(); n += 3) // some may move
                last.shots[n].at_s += 0.4;
            problem.last = &last;
        }
        solve::Outcome outcome = solve::solve(problem);
        const auto* plan = std::get_if<CutPlan>(&outcome);
        if (!plan) continue;
        ++cuts;
        solve::Scored scored = solve::score(problem, *plan);
        tests::programme::Points values = tests::programme::values_of(problem, *plan);
        for (std::size_t t = 0; t < scored.terms.size(); ++t) {
            INFO(scored.terms[t].name);
            CHECK(scored.terms[t].value == Approx(values[t]).margin(1e-9));
        }
    }
    CHECK(cuts > jobs);
}

TEST_CASE("the programme tells a limit that cannot be kept from one that just can") {
    REQUIRE(tests::programme::cbc_is_here());
    tests::Job job = tests::make_job(5, {6, 6, 120, Rate(25), 2, 0.3, 6});
    job.limits.variety.cutaway_share_max = 1;
    REQUIRE(programme_of(job.problem()).solved.state == tests::programme::Solved::optimal);
    job.limits.variety.players["A1"].at_least = 40;
    CHECK(programme_of(job.problem()).solved.state == tests::programme::Solved::infeasible);
}

// solve.h lets a shot without action begin on a half beat, one between a beat ahead of the cut and the first inside too.
TEST_CASE("a half beat next to a beat outside the cut is a place to cut") {
    tests::Job job;
    job.beats.beats = {{0.9, 1, 0.5, 0.5}, {2.1, 2, 0.5, 0.5}};
    job.beats.duration_s = 2.8;
    job.beats.tempo_bpm = 50;
    job.song_start_s = 1;
    job.limits.pacing.cut_on = CutOn::half_beat;
    job.limits.pacing.longest_s = 0.8;
    job.limits.pacing.shortest_cutaway_s = 0;
    job.limits.variety.cutaway_share_max = 1;
    for (const char* id : {"a", "b"}) {
        MediaInfo file;
        file.has_video = true;
        file.rate = Rate(25);
        file.duration_s = 5;
        Take take;
        take.id = id;
        take.media = job.log.media.size();
        take.out_s = 5;
        job.log.media.push_back(file);
        job.log.takes.push_back(take);
    }
    Answer answer = programme_of(job.problem());
    REQUIRE(answer.solved.state == tests::programme::Solved::optimal);
    REQUIRE(answer.breaches.empty());
    CHECK(std::holds_alternative<CutPlan>(solve::solve(job.problem())));
}

// Sound takes are never shown, so one that must be used is a conflict.
TEST_CASE("a sound take that must be used is a conflict") {
    tests::Job job = tests::make_job(5, {6, 6, 120, Rate(25), 2, 0.3, 6});
    job.log.takes[1].kind = Kind::sound;
    job.log.takes[1].use = Use::must;
    solve::Outcome outcome = solve::solve(job.problem());
    CHECK(std::holds_alternative<Conflict>(outcome));
}
