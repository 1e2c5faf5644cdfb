// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "unit/solve/random_job.h"

#include <algorithm>
#include <functional>

using namespace downball;

namespace {

// A job with a known good cut, to be broken in one place at a time.
tests::Job good_job() {
    tests::Job job = tests::make_job(3, {24, 16, 120, Rate(25), 3, 0.3, 8});
    for (Take& take : job.log.takes)
        take.moment.clear();
    job.limits.rally.contacts_max = 1; // see rally_test.cpp
    return job;
}

const CutPlan& good_cut() {
    static const CutPlan cut = std::get<CutPlan>(solve::solve(good_job().problem()));
    return cut;
}

struct Case {
    tests::Job job = good_job();
    CutPlan plan = good_cut();
    Case() { REQUIRE(breaches().empty()); }
    std::vector<std::string> breaches() const { return solve::check(job.problem(), plan); }
    bool told(const std::string& words) const {
        auto all = breaches();
        return std::any_of(all.begin(), all.end(), [&](const std::string& breach) {
            return breach.find(words) != std::string::npos;
        });
    }
    std::size_t find(const std::function<bool(const PlannedShot&, const Take&)>& is,
                     std::size_t from = 0) const {
        for (std::size_t n = from; n < plan.shots.size(); ++n)
            if (is(plan.shots[n], job.log.takes[plan.shots[n].take])) return n;
        FAIL("the cut has no such shot");
        return 0;
    }
    std::size_t action(std::size_t from = 1) const {
        return find([](const PlannedShot&, const Take& take) { return take.kind == Kind::action; }, from);
    }
    std::size_t plain(std::size_t from = 0) const {
        return find([](const PlannedShot&, const Take& take) { return take.kind != Kind::action; }, from);
    }
    Take& take(std::size_t n) { return job.log.takes[plan.shots[n].take]; }
};

} // namespace

TEST_CASE("the judge finds a gap, an overlap and a wrong length") {
    Case c;
    SECTION("gap") {
        c.plan.shots[1].record.in += Frame{1};
        CHECK(c.told("the shots before end at"));
    }
    SECTION("overlap") {
        c.plan.shots[0].record.out += Frame{1};
        CHECK(c.told("the shots before end at"));
    }
    SECTION("short") {
        c.plan.length -= Frame{1};
        CHECK(c.told("frames are wanted") == false);
        CHECK(c.told("are wanted"));
    }
    SECTION("end") {
        c.plan.shots.back().record.out -= Frame{1};
        CHECK(c.told("the last shot ends"));
    }
    SECTION("nothing at all") {
        c.plan.shots.clear();
        CHECK(c.told("no shots"));
    }
    SECTION("another start of the song") {
        c.plan.song_start_s += 1;
        CHECK(c.told("starts the song"));
    }
}

TEST_CASE("the judge finds shots too short and too long") {
    Case c;
    std::int64_t least = 1000, most = 0;
    for (const PlannedShot& shot : c.plan.shots) {
        least = std::min(least, shot.record.length().n);
        most = std::max(most, shot.record.length().n);
    }
    SECTION("short") {
        c.job.limits.pacing.shortest_s = static_cast<double>(least + 1) / 25;
        CHECK(c.told("shortest is"));
    }
    SECTION("long") {
        c.job.limits.pacing.longest_s = static_cast<double>(most - 1) / 25;
        CHECK(c.told("longest is"));
    }
}

TEST_CASE("the judge finds cutaways and slow motion too short to be read, and tails too long") {
    Case c;
    std::size_t plain = c.plain(), action = c.action();
    SECTION("a cutaway") {
        auto length = static_cast<double>(c.plan.shots[plain].record.length().n);
        c.job.limits.pacing.shortest_cutaway_s = (length + 1) / 25;
        CHECK(c.told("shortest is"));
    }
    SECTION("slow motion") {
        auto length = static_cast<double>(c.plan.shots[action].record.length().n);
        c.take(action).capture_fps = 1000;
        c.job.limits.variety.slow_motion_share_max = 1;
        c.job.limits.pacing.shortest_slow_s = (length + 1) / 25;
        CHECK(c.told("shortest is"));
    }
    SECTION("a tail, unless the shot is wide") {
        for (Take& take : c.job.log.takes)
            take.size = Size::tight;
        c.job.limits.pacing.tail_s = c.job.limits.pacing.tail_max_s = 0;
        CHECK(c.told("after its last contact"));
        for (Take& take : c.job.log.takes)
            take.size = Size::wide;
        CHECK_FALSE(c.told("after its last contact"));
    }
}

TEST_CASE("in the order of the day, the judge finds shots that go back in the day or the rally") {
    Case c;
    c.job.limits.story.order = Order::chronological;
    for (Take& take : c.job.log.takes)
        take.order = 0;
    for (std::size_t n = 0; n < c.plan.shots.size(); ++n)
        c.take(n).order = std::max(c.take(n).order, static_cast<int>(n));
    c.take(c.action(0)).order = 1000;
    CHECK(c.told("goes back in the day"));
    c.job.limits.story.order = Order::story;
    CHECK_FALSE(c.told("goes back"));
}

TEST_CASE("the judge finds contacts off their beat, unsure, without lead-in or tail") {
    Case c;
    std::size_t n = c.action();
    Impact& impact = c.take(n).impacts[c.plan.shots[n].anchors.front().impact];
    SECTION("a frame late") {
        c.plan.shots[n].source_in -= Frame{1};
        CHECK(c.told("off its beat"));
    }
    SECTION("a frame early") {
        c.plan.shots[n].source_in += Frame{1};
        CHECK(c.told("off its beat"));
    }
    SECTION("an error stated wrongly") {
        c.plan.shots[n].anchors.front().error_s += 0.01;
        CHECK(c.told("states an error"));
    }
    SECTION("unsure") {
        impact.confidence = 0.49;
        CHECK(c.told("of confidence"));
    }
    SECTION("no anchor") {
        c.plan.shots[n].anchors.clear();
        CHECK(c.told("without a contact on a beat"));
    }
    SECTION("lead-in too short") {
        c.job.limits.pacing.lead_in_min_s = 0.5;
        c.job.limits.pacing.lead_in_max_s = 0.6;
        CHECK(c.told("leads in"));
    }
    SECTION("lead-in too long") {
        c.job.limits.pacing.lead_in_min_s = c.job.limits.pacing.lead_in_max_s = 0;
        CHECK(c.told("leads in"));
    }
    SECTION("tail") {
        c.job.limits.pacing.tail_s = 3.9;
        CHECK(c.told("tail is"));
    }
    SECTION("a beat that does not exist") {
        c.plan.shots[n].anchors.front().beat = 100000;
        CHECK(c.told("does not exist"));
    }
}

TEST_CASE("the judge finds shots that begin off the grid") {
    Case c;
    c.job.limits.pacing.cut_on = CutOn::beat;
    std::size_t n = c.plain();
    // The grid moves away from under the cut: all beats a fifth of a period later.
    for (Beat& beat : c.job.beats.beats)
        beat.seconds += 0.1;
    if (n == 0) n = c.action();
    CHECK((c.told("no place to cut") || c.told("off its beat")));
    Case d;
    std::size_t m = d.plain(1);
    d.plan.shots[m].record.in += Frame{2};
    d.plan.shots[m - 1].record.out += Frame{2};
    CHECK(d.told("no place to cut"));
}

TEST_CASE("the judge finds sources outside their take and shown twice") {
    Case c;
    std::size_t n = c.action();
    SECTION("before the take") {
        c.take(n).in_s = static_cast<double>(c.plan.shots[n].source_in.n + 1) / 25;
        CHECK(c.told("its take with handles"));
    }
    SECTION("after the take") {
        c.take(n).out_s = static_cast<double>(c.plan.shots[n].source_in.n + 1) / 25;
        CHECK(c.told("its take with handles"));
    }
    SECTION("handles") {
        c.job.limits.pacing.handle_frames = 1000;
        CHECK(c.told("its take with handles"));
    }
    SECTION("one range twice, through another take of the file") {
        std::size_t m = c.action(n + 1);
        Take copy = c.take(n);
        copy.id = "copy";
        for (Impact& impact : copy.impacts)
            impact.id = "copy of " + impact.id;
        c.job.log.takes.push_back(copy);
        PlannedShot again = c.plan.shots[n];
        c.plan.shots[m].take = c.job.log.takes.size() - 1;
        c.plan.shots[m].source_in = again.source_in;
        c.plan.shots[m].speed = again.speed;
        c.plan.shots[m].anchors = again.anchors;
        CHECK(c.told("shows source frames that shot"));
    }
    SECTION("one contact twice") {
        std::size_t m = c.action(n + 1);
        c.plan.shots[m] = c.plan.shots[n];
        CHECK(c.told("hangs on the same contact"));
    }
}

TEST_CASE("the judge finds one contact from two cameras and reactions before their action") {
    Case c;
    std::size_t a = c.action(0), b = c.action(a + 1);
    while (c.plan.shots[a].take == c.plan.shots[b].take)
        b = c.action(b + 1);
    SECTION("skills not known") {
        c.take(a).moment = c.take(b).moment = "rally";
        for (Impact& impact : c.take(a).impacts)
            impact.skill.reset();
        CHECK(c.told("from another camera"));
        c.job.limits.variety.replays = true;
        c.take(a).camera = "court";
        c.take(b).camera = "net";
        CHECK_FALSE(c.told("from another camera"));
        CHECK_FALSE(c.told("replays shot"));
        c.take(b).camera = "court";
        c.take(b).angle = c.take(a).angle;
        c.plan.shots[b].speed = c.plan.shots[a].speed;
        CHECK(c.told("replays shot"));
    }
    SECTION("told apart by skill") {
        c.take(a).moment = c.take(b).moment = "rally";
        for (Impact& impact : c.take(a).impacts)
            impact.skill = Skill::serve;
        for (Impact& impact : c.take(b).impacts)
            impact.skill = Skill::attack;
        CHECK_FALSE(c.told("from another camera"));
        c.take(b).impacts[c.plan.shots[b].anchors.front().impact].skill = Skill::serve;
        const std::size_t hung = c.plan.shots[a].anchors.front().impact;
        for (std::size_t i = 0; i < c.take(a).impacts.size(); ++i)
            if (i != hung) c.take(a).impacts[i].skill = Skill::dig;
        CHECK(c.told("from another camera"));
    }
    SECTION("told apart by number, whatever the skills say") {
        c.take(a).moment = c.take(b).moment = "rally";
        int number = 0;
        for (std::size_t n : {a, b})
            for (Impact& impact : c.take(n).impacts) {
                impact.skill = Skill::serve;
                impact.event = number++;
            }
        CHECK_FALSE(c.told("from another camera"));
        c.take(b).impacts[c.plan.shots[b].anchors.front().impact].event =
            c.take(a).impacts[c.plan.shots[a].anchors.front().impact].event;
        CHECK(c.told("from another camera"));
        c.take(b).impacts.front().event.reset(); // then by skill
        for (Impact& impact : c.take(b).impacts)
            impact.skill = Skill::attack;
        CHECK_FALSE(c.told("from another camera"));
    }
    SECTION("reaction first") {
        c.take(a).kind = Kind::reaction;
        c.take(a).moment = c.take(b).moment = "rally";
        CHECK(c.told("after its reaction"));
    }
}

TEST_CASE("the judge finds speeds that are not allowed") {
    Case c;
    std::size_t n = c.action();
    SECTION("an odd speed") {
        c.plan.shots[n].speed = Fraction(9, 10);
        CHECK(c.told("neither real time nor"));
    }
    SECTION("too slow") {
        c.job.log.media[c.take(n).media].rate = Rate(240);
        c.plan.shots[n].speed = Fraction(25, 240);
        CHECK(c.told("slowest is"));
        CHECK_FALSE(c.told("neither real time nor"));
    }
    SECTION("a retimed cutaway") {
        c.plan.shots[c.plain()].speed = Fraction(1, 4);
        CHECK(c.told("is retimed but is no action"));
    }
}

TEST_CASE("the judge counts quotas, shares, musts and locks") {
    Case c;
    std::size_t n = c.action();
    Variety& variety = c.job.limits.variety;
    SECTION("a player too seldom, a player too often") {
        variety.players["nobody"].at_least = 1;
        variety.players[c.take(n).players.front()].at_most = 0;
        CHECK(c.told("0 shots of player nobody"));
        CHECK(c.told("at most 0"));
    }
    SECTION("a skill") {
        variety.skills[*c.take(n).impacts[c.plan.shots[n].anchors.front().impact].skill].at_most = 0;
        CHECK(c.told("action shots that show"));
    }
    SECTION("shares") {
        variety.cutaway_share_max = variety.reaction_share_max = 0;
        CHECK((c.told("cutaways fill") || c.told("reactions fill")));
        c.take(n).capture_fps = 1000;
        variety.slow_motion_share_max = 0;
        CHECK(c.told("slow-motion shots fill"));
    }
    SECTION("must and never") {
        c.take(n).use = Use::never;
        CHECK(c.told("never to be used"));
        Take unused;
        unused.id = "unused";
        unused.use = Use::must;
        c.job.log.takes.push_back(unused);
        CHECK(c.told("take unused must be used"));
    }
    SECTION("a take for its sound") {
        c.take(n).kind = Kind::sound;
        CHECK(c.told("for its sound only"));
    }
    SECTION("locks") {
        c.job.limits.locks = {{"elsewhere", {}, {}}};
        CHECK(c.told("is locked and is not in the cut"));
        c.job.limits.locks = {{c.plan.shots[n].id, c.plan.shots[n].record.in + Frame{1}, {}}};
        CHECK(c.told("is locked elsewhere"));
        c.job.limits.locks = {{c.plan.shots[n].id, c.plan.shots[n].record.in, c.plan.shots[n].source_in}};
        CHECK(c.breaches().empty());
        c.job.limits.locks.front().held = 1;
        CHECK(c.breaches().empty());
        c.job.limits.locks.front().held = 2;
        CHECK(c.told("holds 1 contacts and is locked with 2"));
    }
    SECTION("bans") {
        c.job.limits.bans = {c.plan.shots[n].id};
        CHECK(c.told("holds contact " + c.plan.shots[n].id + ", which is banned"));
    }
    SECTION("ids") {
        c.plan.shots[n].id = "another";
        CHECK(c.told("should have the id"));
    }
    SECTION("a take that is not in the log") {
        c.plan.shots[n].take = 1000;
        CHECK(c.told("its take is not in the log"));
    }
}

TEST_CASE("an attack that sounds together with its block counts as both, for solver and judge") {
    tests::Job job = good_job();
    for (Take& take : job.log.takes)
        for (Impact& impact : take.impacts) {
            impact.skill = Skill::attack;
            impact.with_block = true;
        }
    job.limits.variety.skills = {};
    job.limits.variety.skills[Skill::block].at_least = 2;
    auto outcome = solve::solve(job.problem());
    REQUIRE(std::holds_alternative<CutPlan>(outcome));
    const auto& plan = std::get<CutPlan>(outcome);
    CHECK(solve::check(job.problem(), plan).empty());
    for (Take& take : job.log.takes)
        for (Impact& impact : take.impacts)
            impact.with_block = false;
    const auto breaches = solve::check(job.problem(), plan);
    CHECK(std::any_of(breaches.begin(), breaches.end(),
                      [](const std::string& breach) { return breach.find("block") != std::string::npos; }));
}

TEST_CASE("shots that are no whole cut are judged each by itself and against those before") {
    Case c;
    const std::size_t n = c.action();
    CutPlan part = c.plan;
    part.shots = {c.plan.shots[n], c.plan.shots[c.action(n + 1)]};
    const auto judge = [&](bool open) { return solve::check_each(c.job.problem(), part, {open, false}); };
    const std::vector<std::vector<std::string>> none(2);
    CHECK(judge(false) == none);
    SECTION("too short for its tail, unless its end is open") {
        const auto& beat = c.job.beats.beats[part.shots[0].anchors.front().beat];
        part.shots[0].record.out = nearest_frame(beat.seconds, Rate(25)) + Frame{1};
        CHECK(judge(true) == none);
        CHECK_FALSE(judge(false)[0].empty());
        CHECK(judge(false)[1].empty());
    }
    SECTION("a second shot of the same pictures is the later one's breach") {
        part.shots[1] = part.shots[0];
        CHECK(judge(true)[0].empty());
        CHECK(judge(true)[1].front() ==
              "shows source frames that shot " + part.shots[0].id + " shows as well");
    }
    SECTION("off its beat") {
        part.shots[1].source_in += Frame{3};
        CHECK(judge(false)[0].empty());
        CHECK(judge(false)[1].front().find("frames off its beat") != std::string::npos);
    }
}
