// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "unit/solve/random_job.h"

#include "downball/base/text.h"

using namespace downball;

namespace {

tests::Job usual() {
    return tests::make_job(5, {20, 16, 128, Rate(25), 3, 0.3, 8});
}

Conflict conflict_of(const tests::Job& job) {
    auto outcome = solve::solve(job.problem());
    REQUIRE(std::holds_alternative<Conflict>(outcome));
    Conflict conflict = std::get<Conflict>(outcome);
    CHECK_FALSE(conflict.limits.empty());
    CHECK_FALSE(conflict.remedies.empty());
    return conflict;
}

std::string words(const Conflict& conflict) {
    return join(conflict.limits, "; ") + " -> " + join(conflict.remedies, "; ");
}

bool has_cut(const tests::Job& job) {
    return std::holds_alternative<CutPlan>(solve::solve(job.problem()));
}

} // namespace

TEST_CASE("a job without takes, beats or contacts says so") {
    tests::Job job = usual();
    REQUIRE(has_cut(job));
    SECTION("no takes") {
        job.log.takes.clear();
        CHECK(words(conflict_of(job)) == "the log holds no takes -> log at least one clip");
    }
    SECTION("no beats") {
        job.beats.beats.clear();
        CHECK_THAT(words(conflict_of(job)), Catch::Contains("0 beats found in the song"));
    }
    SECTION("nothing may be used") {
        for (Take& take : job.log.takes)
            take.use = Use::never;
        CHECK_THAT(words(conflict_of(job)), Catch::Contains("never to be used"));
    }
    SECTION("no contact and no cutaway") {
        std::erase_if(job.log.takes, [](const Take& take) { return take.kind != Kind::action; });
        for (Take& take : job.log.takes)
            for (Impact& impact : take.impacts)
                impact.confidence = 0.4;
        CHECK_THAT(words(conflict_of(job)), Catch::Contains("confidence floor 0.40"));
    }
    SECTION("a song shorter than its shortest shot") {
        job.limits.delivery.length_s = 0.2;
        CHECK_THAT(words(conflict_of(job)), Catch::Contains("shortest shot"));
    }
    SECTION("a start after the song's end") {
        job.song_start_s = 1000;
        CHECK_THAT(words(conflict_of(job)), Catch::Contains("has no length"));
    }
}

TEST_CASE("one clip, or only cutaways, is too little and the remedy's length works") {
    tests::Job job = usual();
    SECTION("only cutaways") {
        std::erase_if(job.log.takes, [](const Take& take) { return take.kind != Kind::cutaway; });
        REQUIRE_FALSE(job.log.takes.empty());
        Conflict conflict = conflict_of(job);
        CHECK_THAT(words(conflict),
                   Catch::Contains("the log holds 4.80 s that can be shown, 16.00 s are wanted"));
        CHECK_THAT(words(conflict), Catch::Contains("cutaways at most 30 %"));
    }
    SECTION("one clip") {
        std::erase_if(job.log.takes, [](const Take& take) { return take.kind == Kind::action; });
        job.log.takes.resize(1);
        CHECK_THAT(words(conflict_of(job)), Catch::Contains("16.00 s are wanted"));
    }
}

TEST_CASE("shortest and longest shot against each other and against the beats") {
    tests::Job job = usual();
    SECTION("crossed") {
        job.limits.pacing.shortest_s = 4;
        job.limits.pacing.longest_s = 3;
        CHECK_THAT(words(conflict_of(job)),
                   Catch::Contains("any one of these will do: shortest shot 2.64 s; longest shot 4.00 s"));
    }
    SECTION("no span of whole bars lies between them") {
        job.limits.pacing.cut_on = CutOn::bar;
        job.limits.pacing.shortest_s = 2.0;
        job.limits.pacing.longest_s = 3.0;
        std::erase_if(job.log.takes, [](const Take& take) { return take.kind == Kind::action; });
        job.limits.variety.cutaway_share_max = job.limits.variety.reaction_share_max = 1;
        Conflict conflict = conflict_of(job);
        CHECK_THAT(words(conflict), Catch::Contains("'cut on bar' at 128.0 BPM"));
    }
}

TEST_CASE("quotas over what the log holds are named with their numbers") {
    tests::Job job = usual();
    SECTION("a player") {
        job.limits.variety.players["C9"].at_least = 3;
        CHECK_THAT(words(conflict_of(job)), Catch::Contains("3 shots of player C9 asked, 0 in the log"));
    }
    SECTION("a skill") {
        for (Take& take : job.log.takes)
            for (Impact& impact : take.impacts)
                impact.skill = Skill::set;
        job.limits.variety.skills[Skill::block].at_least = 2;
        CHECK_THAT(words(conflict_of(job)),
                   Catch::Contains("2 action shots of skill 'block' asked, 0 in the log"));
    }
    SECTION("at least above at most") {
        job.limits.variety.players["A1"] = {4, 2};
        CHECK_THAT(words(conflict_of(job)), Catch::Contains("at least 4 shots of player A1; at most 2"));
    }
}

TEST_CASE("locks and musts that cannot be") {
    tests::Job job = usual();
    SECTION("unknown shot") {
        job.limits.locks = {{"t99#1000", {}, {}}};
        CHECK_THAT(words(conflict_of(job)),
                   Catch::Contains("lock on shot t99#1000: no take that may be used has it"));
    }
    SECTION("two shots at one place") {
        std::vector<std::string> ids;
        for (const Take& take : job.log.takes)
            if (take.kind == Kind::action && ids.size() < 2 && take.impacts.front().confidence > 0.5)
                ids.push_back(take.impacts.front().id);
        job.limits.locks = {{ids[0], Frame{100}, {}}, {ids[1], Frame{100}, {}}};
        const std::string told = words(conflict_of(job));
        CHECK_THAT(told, Catch::Contains("lock on shot " + ids[0] + " at record frame 100"));
        CHECK_THAT(told, Catch::Contains("lock on shot " + ids[1] + " at record frame 100"));
    }
    SECTION("a must without a contact") {
        Take& take = job.log.takes[0];
        take.kind = Kind::action;
        take.impacts.clear();
        take.use = Use::must;
        CHECK_THAT(words(conflict_of(job)), Catch::Contains("take t1 must be used, but has no contact"));
    }
    SECTION("a must that is too short") {
        Take& take = job.log.takes[0];
        take.kind = Kind::cutaway;
        take.impacts.clear();
        take.out_s = take.in_s + 0.2;
        take.use = Use::must;
        CHECK_THAT(words(conflict_of(job)), Catch::Contains("take t1 must be used, but lasts 0.20 s"));
    }
}

// Two limits that each could be met alone: dropping either leaves a job with a cut.
TEST_CASE("limits that conflict only together are found and each is needed for the conflict") {
    tests::Job job = usual();
    for (Take& take : job.log.takes)
        if (take.kind == Kind::action) take.players = {"A1"};
    job.limits.variety.players["A1"].at_most = 1;
    Conflict conflict = conflict_of(job);
    INFO(words(conflict));
    CHECK(conflict.proven);
    CHECK_THAT(words(conflict), Catch::Contains("at most 1 shot of player A1"));
    tests::Job freed = job;
    freed.limits.variety.players.clear();
    CHECK(has_cut(freed));
}
