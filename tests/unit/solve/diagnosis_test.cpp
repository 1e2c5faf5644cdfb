// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/diagnose.h"
#include "solve/movable.h"
#include "solve/reasons.h"
#include "solve/search.h"
#include "support/catch.h"
#include "unit/solve/impossible_job.h"

#include "downball/base/text.h"

#include <iostream>

using namespace downball;
using solve::Change;
using solve::Diagnosis;
using solve::Movable;

// Every conflict is taken at its word: its limits alone, without any other, cannot be met; without one of them the
// rest can, by a cut that the judge passes; each remedy leaves a cut, and what lies nearer leaves none.
namespace {

struct Tally {
    int jobs = 0, conflicts = 0, unproven = 0, needless = 0;
    int members[6] = {}; // conflicts by number of members
    int remedies = 0, together = 0, nearer = 0, unsure = 0;
};

struct Examiner {
    const tests::Job& job;
    Tally& tally;
    solve::Problem problem = job.problem();
    std::vector<Movable> limits = solve::movables(problem);

    // The job with these limits moved.
    tests::Job with(const std::vector<int>& moves) const {
        const solve::Moved moved = solve::moved(problem, limits, moves);
        tests::Job other = job;
        other.limits = moved.limits;
        other.log = moved.log;
        return other;
    }

    void has_cut(const std::vector<int>& moves) const {
        const tests::Job other = with(moves);
        const solve::Outcome outcome = solve::solve(other.problem());
        const auto* plan = std::get_if<CutPlan>(&outcome);
        CHECK(plan);
        if (plan) CHECK(solve::check(other.problem(), *plan) == std::vector<std::string>{});
    }

    void has_none(const std::vector<int>& moves, int& checked) {
        const tests::Job other = with(moves);
        const solve::Problem its = other.problem();
        const solve::Setting setting = solve::make_setting(its);
        ++checked;
        if (solve::plain_reason(setting)) return;
        const solve::Found found = solve::search(setting, {true, 1}, {});
        CHECK_FALSE(found.cut);
        if (!found.impossible) ++tally.unsure;
    }

    void remedy(const Change& change) {
        std::vector<int> moves(limits.size());
        moves[change.limit] = change.step;
        has_cut(moves);
        ++tally.remedies;
        const Movable& limit = limits[change.limit];
        if (change.step > 1)
            moves[change.limit] = change.step - 1;
        else if (change.step == solve::limit_dropped && limit.steps > 0)
            moves[change.limit] = limit.steps;
        else
            return;
        INFO("nearer: " << limit.loosened(moves[change.limit]));
        has_none(moves, tally.nearer);
    }

    void all(const Diagnosis& diagnosis) {
        std::vector<int> bare(limits.size(), solve::limit_dropped);
        bare[limits.size() - 1] = bare[limits.size() - 2] = 0; // the length
        for (const Change& member : diagnosis.members)
            bare[member.limit] = 0;
        int checked = 0;
        has_none(bare, checked);
        for (const Change& member : diagnosis.members) {
            INFO("without: " << limits[member.limit].words);
            std::vector<int> moves = bare;
            moves[member.limit] = member.step;
            has_cut(moves);
        }
        for (const Change& change : diagnosis.alone) {
            INFO("remedy: " << limits[change.limit].words << ", step " << change.step);
            remedy(change);
        }
        if (diagnosis.together.empty()) return;
        std::vector<int> moves(limits.size());
        for (const Change& change : diagnosis.together)
            moves[change.limit] = change.step;
        INFO("all remedies together");
        has_cut(moves);
        ++tally.together;
    }
};

std::string words(const Conflict& conflict) {
    return join(conflict.limits, "; ") + " -> " + join(conflict.remedies, "; ");
}

std::string examine(const tests::Job& job, Tally& tally) {
    ++tally.jobs;
    const auto answer = solve::cut_or_diagnosis(job.problem());
    if (const auto* plan = std::get_if<CutPlan>(&answer)) {
        CHECK(solve::check(job.problem(), *plan) == std::vector<std::string>{});
        return "";
    }
    const auto& diagnosis = std::get<Diagnosis>(answer);
    INFO(words(diagnosis.conflict));
    ++tally.conflicts;
    ++tally.members[std::min<std::size_t>(diagnosis.members.size(), 5)];
    CHECK_FALSE(diagnosis.conflict.limits.empty());
    CHECK_FALSE(diagnosis.conflict.remedies.empty());
    if (!diagnosis.conflict.proven)
        ++tally.unproven;
    else if (!diagnosis.minimal)
        ++tally.needless;
    else
        Examiner{job, tally}.all(diagnosis);
    return words(diagnosis.conflict);
}

void tell(const char* what, const Tally& tally) {
    std::cout << fmt::format(
        "{}: {} jobs, {} conflicts (of 0, 1, 2, 3, 4, more limits: {}), {} not proven, {} not shown "
        "minimal; {} remedies alone, {} together; {} nearer values without a cut, {} of all "
        "without one not proven\n",
        what, tally.jobs, tally.conflicts, fmt::join(tally.members, " "), tally.unproven, tally.needless,
        tally.remedies, tally.together, tally.nearer, tally.unsure);
}

} // namespace

TEST_CASE("each conflict of a tiny job is minimal, and its remedies are the nearest that work",
          "[hundreds]") {
    Tally tally;
    for (std::uint64_t seed = 1; seed <= 700; ++seed) {
        INFO("seed " << seed);
        examine(tests::ImpossibleJob(seed).job(), tally);
    }
    tell("tiny", tally);
    CHECK(tally.conflicts > 400);
    CHECK(tally.unproven == 0);
    CHECK(tally.needless == 0);
    CHECK(tally.unsure == 0);
    CHECK(tally.members[2] + tally.members[3] > 100); // not only limits that cannot be met by themselves
}

// Jobs by hand: what conflicts is known beforehand.
TEST_CASE("limits that can each be met by themselves are all named") {
    tests::Job job = tests::make_job(5, {12, 8, 128, Rate(25), 2, 0.3, 8});
    job.limits.variety.cutaway_share_max = job.limits.variety.reaction_share_max = 1;
    std::vector<std::string> actions;
    std::vector<std::size_t> plains;
    for (std::size_t t = 0; t < job.log.takes.size(); ++t) {
        Take& take = job.log.takes[t];
        if (take.kind == Kind::action && take.impacts.front().confidence > 0.5)
            actions.push_back(take.impacts.front().id);
        else if (take.kind != Kind::action) {
            take.kind = Kind::cutaway;
            plains.push_back(t);
        }
    }
    REQUIRE(actions.size() >= 2);
    REQUIRE(plains.size() >= 2);
    std::vector<std::string> named;
    SECTION("quota and share") {
        for (std::size_t t : plains)
            job.log.takes[t].players = {"C1"};
        job.limits.variety.players["C1"].at_least = 3;
        job.limits.variety.cutaway_share_max = 0.1;
        named = {"at least 3 shots of player C1", "cutaways at most 10 %"};
    }
    SECTION("must and share") {
        job.log.takes[plains[0]].use = Use::must;
        job.limits.variety.cutaway_share_max = 0.05;
        named = {"must be used", "cutaways at most 5 %", "shortest shot without action"};
    }
    SECTION("musts and length") {
        for (std::size_t t : plains)
            job.log.takes[t].use = Use::must;
        job.limits.delivery.length_s = 0.7 * static_cast<double>(plains.size());
        named = {"must be used", "shortest shot without action", "length"};
    }
    SECTION("lock and lock") {
        job.limits.locks = {{actions[0], Frame{0}, {}}, {actions[1], Frame{0}, {}}};
        named = {actions[0] + " at record frame 0", actions[1]};
    }
    SECTION("order and lock") {
        job.limits.story.order = Order::chronological;
        job.log.takes[plains[0]].use = Use::must;
        job.limits.locks = {{job.log.takes[plains[1]].id + "@1", Frame{0}, {}}};
        named = {"must be used", "order of the day", "lock on shot"};
    }
    SECTION("versions that must differ") {
        OtherCut other{"the first", {}, {}, 0};
        for (const Take& take : job.log.takes) {
            other.takes.insert(take.id);
            for (const Impact& impact : take.impacts)
                other.contacts.insert(impact.id);
        }
        job.limits.others = {other};
        named = {"at most 0 % of the shots shared with the first"};
    }
    Tally tally;
    const std::string told = examine(job, tally);
    INFO(told);
    CHECK(tally.conflicts == 1);
    CHECK(tally.unproven + tally.needless + tally.unsure == 0);
    for (const std::string& limit : named)
        CHECK_THAT(told, Catch::Contains(limit));
}

TEST_CASE("bad input is a conflict too, and its limits and remedies are as told") {
    tests::Job job = tests::make_job(5, {12, 8, 128, Rate(25), 2, 0.3, 8});
    std::string named;
    SECTION("empty log") {
        job.log.takes.clear();
        named = "the log holds no takes";
    }
    SECTION("one clip") {
        std::erase_if(job.log.takes, [](const Take& take) { return take.kind == Kind::action; });
        job.log.takes.resize(1);
        job.log.takes[0].out_s = 2;
        named = "8.00 s are wanted";
    }
    SECTION("only cutaways") {
        std::erase_if(job.log.takes, [](const Take& take) { return take.kind != Kind::cutaway; });
        named = "cutaways at most 30 % of the cut";
    }
    SECTION("no contact found") {
        std::erase_if(job.log.takes, [](const Take& take) { return take.kind != Kind::action; });
        for (Take& take : job.log.takes)
            take.impacts.clear();
        named = "no action with a contact";
    }
    SECTION("no contact sure enough") {
        std::erase_if(job.log.takes, [](const Take& take) { return take.kind != Kind::action; });
        for (Take& take : job.log.takes)
            for (Impact& impact : take.impacts)
                impact.confidence = 0.3;
        named = "contacts of confidence 0.50 or more";
    }
    SECTION("song shorter than the shortest shot") {
        job.limits.delivery.length_s = 0.2;
        named = "the cut lasts 0.20 s; shortest shot";
    }
    SECTION("quota over what the log holds") {
        job.limits.variety.players["C9"].at_least = 3;
        named = "3 shots of player C9 asked, 0 in the log";
    }
    SECTION("at least above at most") {
        job.limits.variety.players["A1"] = {3, 1};
        named = "at least 3 shots of player A1; at most 1 shot of player A1";
    }
    SECTION("shortest above longest") {
        job.limits.pacing.shortest_s = 4;
        job.limits.pacing.longest_s = 3;
        named = "shortest shot 4.00 s; longest shot 3.00 s";
    }
    Tally tally;
    CHECK_THAT(examine(job, tally), Catch::Contains(named));
    CHECK(tally.conflicts == 1);
    CHECK(tally.unproven + tally.needless + tally.unsure == 0);
}

TEST_CASE("conflicts of small jobs are minimal, with few exceptions that say so", "[hundreds]") {
    Tally tally;
    for (std::uint64_t seed = 1; seed <= 24; ++seed) {
        INFO("seed " << seed);
        examine(tests::ImpossibleJob(seed, false).job(), tally);
    }
    tell("small", tally);
    CHECK(tally.conflicts > 14);
    CHECK(tally.unproven <= 1);
    CHECK(tally.needless <= 2);
}
