// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/solve/trial.h"

#include "bench/solve/greedy.h"
#include "support/solve_programme/cbc.h"
#include "support/solve_programme/model.h"

#include "downball/solve/last_cut.h"
#include "downball/solve/terms.h"

#include <chrono>
#include <ctime>

namespace downball::bench {
namespace {

constexpr std::size_t most_columns = 50000; // more places of shots than that are not put to CBC

Timed timed(const auto& work) {
    auto wall = std::chrono::steady_clock::now();
    std::clock_t cpu = std::clock();
    work();
    return {std::chrono::duration<double>(std::chrono::steady_clock::now() - wall).count(),
            static_cast<double>(std::clock() - cpu) / CLOCKS_PER_SEC};
}

Solved solved(const tests::Job& job, const LastCut* last = nullptr) {
    Solved found;
    std::optional<solve::Outcome> outcome;
    solve::Problem problem = job.problem();
    problem.last = last;
    static_cast<Timed&>(found) = timed([&] { outcome = solve::solve(problem); });
    if (const auto* conflict = std::get_if<Conflict>(&*outcome)) {
        found.conflict = (conflict->proven ? "" : "not proven: ") + conflict->limits.front();
        return found;
    }
    found.plan = std::get<CutPlan>(std::move(*outcome));
    found.breaches = solve::check(job.problem(), *found.plan).size();
    return found;
}

Solved greedy(const tests::Job& job) {
    Solved found;
    static_cast<Timed&>(found) = timed([&] { found.plan = greedy_cut(job.problem()); });
    if (!found.plan) return found;
    found.breaches = solve::check(job.problem(), *found.plan).size();
    found.plan->score = solve::score(job.problem(), *found.plan).score;
    return found;
}

Optimum optimum(const tests::Job& job, double most_s) {
    Optimum found;
    tests::programme::Model model(job.problem(), most_columns);
    if (model.too_large()) {
        found.words = "too large";
        return found;
    }
    tests::programme::Solved solved;
    static_cast<Timed&>(found) = timed([&] { solved = tests::programme::run_cbc(model.program(), most_s); });
    if (solved.state == tests::programme::Solved::optimal)
        found.points = model.points(solved.values);
    else
        found.words = solved.state == tests::programme::Solved::infeasible ? "no cut" : "unfinished";
    return found;
}

// Share of the shots of `before` that `after` has as well.
double kept(const LastCut& before, const LastCut& after, Rate rate, bool in_place) {
    using What = solve::CutChange::What;
    double count = 0;
    for (const solve::CutChange& change : solve::cut_changes(before, after, rate))
        count += change.what == What::stayed || (!in_place && change.what == What::moved);
    return count / static_cast<double>(before.shots.size());
}

} // namespace

tests::Job job_of(const Row& row, std::uint64_t seed) {
    tests::Job job = tests::make_job(seed, row.job);
    if (row.programme_sized) {
        job.limits.pacing.lead_in_min_s = job.limits.pacing.lead_in_max_s = 0.12;
        job.limits.pacing.longest_s = 2;
    }
    return job;
}

Trial run_trial(const Row& row, std::uint64_t seed, const Asked& asked) {
    tests::Job job = job_of(row, seed);
    Trial trial;
    trial.seed = seed;
    trial.beats = job.beats.beats.size();
    for (const Take& take : job.log.takes)
        trial.contacts += take.impacts.size();
    trial.solver = solved(job);
    if (asked.greedy) trial.greedy = greedy(job);
    trial.optimum = optimum(job, asked.cbc_s);

    tests::Job nudged = job;
    nudged.limits.weights.accent *= 1.1;
    std::optional<LastCut> last;
    if (trial.solver.plan) last = solve::as_last_cut(job.problem(), *trial.solver.plan);
    trial.nudged = solved(nudged, last ? &*last : nullptr);
    if (last && trial.nudged.plan) {
        const LastCut now = solve::as_last_cut(nudged.problem(), *trial.nudged.plan);
        trial.kept = kept(*last, now, job.limits.delivery.rate, false);
        trial.kept_in_place = kept(*last, now, job.limits.delivery.rate, true);
    }
    tests::Job limited = job;
    limited.limits.pacing.longest_s *= 7.0 / 8;
    trial.limited = solved(limited, last ? &*last : nullptr);
    return trial;
}

} // namespace downball::bench
