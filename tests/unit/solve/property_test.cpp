// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "unit/solve/exhaustive.h"

#include "downball/solve/terms.h"

using namespace downball;

namespace {

// Jobs of many shapes: rates, tempi, limits, few and many takes.
tests::Job any_job(std::uint64_t seed) {
    tests::Dice dice(seed * 31 + 5);
    static const Rate rates[] = {Rate(24000, 1001), Rate(24), Rate(25),
                                 Rate(30000, 1001), Rate(30), Rate(50)};
    tests::JobSize size{dice.whole(3, 24), dice.real(3, 12),    dice.real(70, 175), rates[dice.whole(0, 5)],
                        dice.real(1, 4),   dice.real(0.1, 0.6), dice.real(3, 9)};
    tests::Job job = tests::make_job(seed, size);
    Pacing& pacing = job.limits.pacing;
    pacing.shortest_s = dice.real(0.1, 0.8);
    pacing.longest_s = dice.real(1, 5);
    pacing.tail_s = dice.real(0, 0.4);
    pacing.tail_max_s = dice.real(0.5, 3);
    pacing.shortest_cutaway_s = dice.real(0, 1.2);
    pacing.shortest_slow_s = dice.real(0, 1.5);
    pacing.handle_frames = dice.chance(0.3) ? dice.whole(1, 8) : 0;
    pacing.cut_on = static_cast<CutOn>(dice.whole(0, 2));
    job.song_start_s = dice.chance(0.3) ? dice.real(0, 1.5) : 0;
    if (dice.chance(0.5)) job.limits.delivery.length_s = dice.real(2, 14);
    Variety& variety = job.limits.variety;
    variety.replays = dice.chance(0.3);
    variety.cutaway_share_max = dice.real(0.1, 1);
    variety.reaction_share_max = dice.real(0.1, 1);
    variety.slow_motion_share_max = dice.real(0, 1);
    if (dice.chance(0.3)) variety.players["A2"] = {dice.whole(0, 2), dice.whole(2, 5)};
    if (dice.chance(0.3)) variety.skills[Skill::attack].at_least = dice.whole(1, 2);
    for (Take& take : job.log.takes) {
        if (dice.chance(0.05)) take.use = dice.chance(0.5) ? Use::must : Use::never;
        if (dice.chance(0.1)) take.capture_fps = 4 * job.log.media[take.media].rate->per_second();
        if (dice.chance(0.1)) take.media = 0; // several takes of one file
        if (dice.chance(0.2))
            for (Impact& impact : take.impacts)
                impact.skill.reset();
    }
    job.limits.story.order = static_cast<Order>(dice.whole(0, 2));
    return job;
}

bool same(const CutPlan& a, const CutPlan& b) {
    if (a.score != b.score || a.limit != b.limit || a.shots.size() != b.shots.size()) return false;
    for (std::size_t n = 0; n < a.shots.size(); ++n)
        if (a.shots[n].id != b.shots[n].id || a.shots[n].record != b.shots[n].record ||
            a.shots[n].source_in != b.shots[n].source_in || a.shots[n].speed != b.shots[n].speed)
            return false;
    return true;
}

struct Tally {
    int cuts = 0, unproven = 0;

    void note(const tests::Job& job) {
        auto outcome = solve::solve(job.problem());
        if (const auto* conflict = std::get_if<Conflict>(&outcome)) {
            CHECK_FALSE(conflict->limits.empty());
            CHECK_FALSE(conflict->remedies.empty());
            unproven += conflict->proven ? 0 : 1;
            return;
        }
        ++cuts;
        const CutPlan& plan = std::get<CutPlan>(outcome);
        CHECK(solve::check(job.problem(), plan) == std::vector<std::string>{});
        CHECK(plan.score <= plan.limit);
        CHECK(solve::score(job.problem(), plan).score == Approx(plan.score).epsilon(1e-9));
        for (const TermScore& term : plan.terms)
            CHECK(term.value <= 1 + 1e-9);
    }
};

} // namespace

TEST_CASE("every cut of a random job keeps all limits, and its score lies under its limit", "[hundreds]") {
    Tally tally;
    for (std::uint64_t seed = 1; seed <= 120; ++seed) {
        INFO("seed " << seed);
        tally.note(any_job(seed));
    }
    CHECK(tally.cuts > 80);
    CHECK(tally.unproven <= 1);
}

TEST_CASE("so does every cut of thousands of tiny jobs, and no answer is left unproven", "[hundreds]") {
    Tally tally;
    for (std::uint64_t seed = 1; seed <= 2500; ++seed) {
        INFO("seed " << seed);
        tally.note(tests::tiny_job(seed + 100000));
    }
    CHECK(tally.cuts > 1250);
    CHECK(tally.cuts < 2200);
    CHECK(tally.unproven == 0);
}

TEST_CASE("the same job gives the same cut, bit for bit") {
    for (std::uint64_t seed : {2U, 9U, 17U}) {
        tests::Job job = tests::make_job(seed, {30, 20, 126, Rate(25), 3, 0.25, 8});
        tests::Job again = tests::make_job(seed, {30, 20, 126, Rate(25), 3, 0.25, 8});
        auto a = solve::solve(job.problem());
        auto b = solve::solve(again.problem());
        REQUIRE(std::holds_alternative<CutPlan>(a));
        CHECK(same(std::get<CutPlan>(a), std::get<CutPlan>(b)));
    }
}

// More shots than are looked at all at once.
TEST_CASE("a large stock is cut within a few percent of its limit, twice the same") {
    tests::Job job = tests::make_job(3, {250, 24, 126, Rate(25), 3, 0.25, 8});
    auto a = solve::solve(job.problem());
    auto b = solve::solve(job.problem());
    REQUIRE(std::holds_alternative<CutPlan>(a));
    const CutPlan& plan = std::get<CutPlan>(a);
    CHECK(solve::check(job.problem(), plan) == std::vector<std::string>{});
    CHECK(plan.score <= plan.limit);
    CHECK(plan.gap() < 0.04);
    CHECK(same(plan, std::get<CutPlan>(b)));
}

TEST_CASE("a locked shot stays where it was, and the limit falls or stays") {
    tests::Job job = tests::make_job(11, {24, 16, 126, Rate(25), 3, 0.25, 8});
    auto first = solve::solve(job.problem());
    REQUIRE(std::holds_alternative<CutPlan>(first));
    const CutPlan plan = std::get<CutPlan>(first);
    for (std::size_t n = 0; n < plan.shots.size(); n += 3) {
        INFO("lock on " << plan.shots[n].id);
        job.limits.locks = {{plan.shots[n].id, plan.shots[n].record.in, plan.shots[n].source_in}};
        auto second = solve::solve(job.problem());
        REQUIRE(std::holds_alternative<CutPlan>(second));
        CHECK(solve::check(job.problem(), std::get<CutPlan>(second)) == std::vector<std::string>{});
        CHECK(std::get<CutPlan>(second).score <= plan.limit + 1e-9);
    }
}

TEST_CASE("a stop gives the best cut so far, and it keeps all limits") {
    tests::Job job = tests::make_job(4, {30, 30, 126, Rate(25), 3, 0.25, 8});
    std::stop_source source;
    LongWork work;
    work.stop = source.get_token();
    work.progress = [&](double) { source.request_stop(); };
    auto outcome = solve::solve(job.problem(), work);
    REQUIRE(std::holds_alternative<CutPlan>(outcome));
    CHECK(solve::check(job.problem(), std::get<CutPlan>(outcome)).empty());
}
