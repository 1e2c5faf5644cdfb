// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/rally.h"
#include "solve/value.h"
#include "support/catch.h"
#include "unit/solve/random_job.h"

#include "downball/solve/last_cut.h"

#include <algorithm>
#include <functional>

using namespace downball;

namespace {

// Beats twice a second, 12.5 frames apart, on frames 0, 12, 25, 37, 50, 62, 75 and so on; contacts at source frames
// 25, 40 and 62.5.
tests::Job rally_job() {
    tests::Job job;
    for (int k = 0; k < 12; ++k)
        job.beats.beats.push_back({k * 0.5, k % 4 + 1, 0.5, 0.3});
    job.beats.duration_s = 6;
    job.beats.tempo_bpm = 120;
    job.limits.variety.cutaway_share_max = 1;
    for (const char* id : {"rally", "beach", "stands"}) {
        MediaInfo file;
        file.has_video = true;
        file.rate = Rate(25);
        file.duration_s = 8;
        Take take;
        take.id = id;
        take.media = job.log.media.size();
        take.out_s = 8;
        take.kind = Kind::cutaway;
        job.log.media.push_back(file);
        job.log.takes.push_back(take);
    }
    Take& rally = job.log.takes.front();
    rally.kind = Kind::action;
    const Skill skills[] = {Skill::pass, Skill::set, Skill::attack};
    const double seconds[] = {1.0, 1.6, 2.5};
    for (int n = 0; n < 3; ++n) {
        Impact impact;
        impact.id = fmt::format("rally#{}", n + 1);
        impact.picture_s = impact.sound_s = seconds[n];
        impact.confidence = 0.9;
        impact.strength = 0.5 + 0.1 * n;
        impact.skill = skills[n];
        rally.impacts.push_back(impact);
    }
    return job;
}

// Worked out by hand: pass on beat 2, set on beat 3 (15 frames in 12), attack on beat 5 (22 in 25).
CutPlan rally_plan() {
    const auto at = [](std::int64_t in, std::int64_t out) { return FrameRange{Frame{in}, Frame{out}}; };
    PlannedShot beach{"beach@1", 1, at(0, 20), Frame{0}, Fraction(1), {}, {}};
    PlannedShot rally{"rally#1", 0, at(20, 75), Frame{20}, Fraction(22, 25), {}, {}};
    rally.anchors = {{0, 2, 0}, {1, 3, -0.5 / 25}, {2, 5, 0}};
    rally.stretches = {{at(20, 25), at(20, 25)},
                       {at(25, 37), at(25, 40)},
                       {at(37, 62), at(40, 62)},
                       {at(62, 75), at(62, 75)}};
    PlannedShot stands{"stands@1", 2, at(75, 150), Frame{0}, Fraction(1), {}, {}};
    CutPlan plan;
    plan.length = Frame{150};
    plan.shots = {beach, rally, stands};
    return plan;
}

const solve::Play& play_holding(const solve::Setting& setting, int held, bool slowed = false) {
    return *std::find_if(setting.stock.plays.begin(), setting.stock.plays.end(),
                         [&](const solve::Play& play) {
                             return play.held == held && play.contact == 0 && play.slowed == slowed;
                         });
}

struct Broken {
    tests::Job job = rally_job();
    CutPlan plan = rally_plan();
    PlannedShot& rally() { return plan.shots[1]; }
    bool told(const std::string& words) const {
        auto all = solve::check(job.problem(), plan);
        for (const std::string& breach : all)
            UNSCOPED_INFO(breach);
        return std::any_of(all.begin(), all.end(), [&](const std::string& breach) {
            return breach.find(words) != std::string::npos;
        });
    }
};

} // namespace

TEST_CASE("a rally on the beat as worked out by hand") {
    const tests::Job job = rally_job();
    const solve::Problem problem = job.problem();
    const solve::Setting setting = solve::make_setting(problem);
    const solve::Play& play = play_holding(setting, 3);
    const solve::Clip& clip = setting.clip_of(play);
    const auto rally = solve::on_beats(setting.grid, clip, play, setting.grid.slots[2]);
    REQUIRE(rally);
    const CutPlan plan = rally_plan();
    const PlannedShot& wanted = plan.shots[1];
    for (std::size_t n = 0; n < 3; ++n) {
        CHECK(setting.grid.slots[rally->holds[n].slot].beat == static_cast<int>(wanted.anchors[n].beat));
        CHECK(rally->holds[n].error == Approx(wanted.anchors[n].error_s * 25).margin(1e-9));
    }
    const auto pieces = solve::stretches(setting.grid, *rally, wanted.record);
    REQUIRE(pieces.size() == wanted.stretches.size());
    for (std::size_t n = 0; n < pieces.size(); ++n) {
        CHECK(pieces[n].record == wanted.stretches[n].record);
        CHECK(pieces[n].source == wanted.stretches[n].source);
    }
    CHECK(solve::check(problem, plan) == std::vector<std::string>{});
}

TEST_CASE("stretches in real time are one") {
    tests::Job job = rally_job();
    job.log.takes[0].impacts[1].picture_s = 2; // on beat 4 as it was shot
    const solve::Problem problem = job.problem();
    const solve::Setting setting = solve::make_setting(problem);
    const solve::Play& play = play_holding(setting, 2);
    const auto rally = solve::on_beats(setting.grid, setting.clip_of(play), play, setting.grid.slots[2]);
    REQUIRE(rally);
    CHECK(rally->last().slot == 4);
    CHECK(solve::stretches(setting.grid, *rally, {Frame{20}, Frame{70}}).size() == 1);
}

TEST_CASE("no rally where no beat is met at an allowed speed") {
    tests::Job job = rally_job();
    job.limits.rally.fastest = 1.2; // pass to set wants 1.25
    const solve::Problem problem = job.problem();
    const solve::Setting setting = solve::make_setting(problem);
    const solve::Play& play = play_holding(setting, 2);
    CHECK_FALSE(solve::on_beats(setting.grid, setting.clip_of(play), play, setting.grid.slots[2]));
}

TEST_CASE("only files from fast cameras are slowed below the lowest speed of a rally") {
    tests::Job job = rally_job();
    const auto slowed = [&] {
        const solve::Problem problem = job.problem();
        const solve::Setting setting = solve::make_setting(problem);
        const auto is = [](const solve::Play& play) { return play.slowed; };
        return std::count_if(setting.stock.plays.begin(), setting.stock.plays.end(), is);
    };
    CHECK(slowed() == 0);
    job.log.media[0].rate = Rate(100);
    CHECK(slowed() == 3); // pass to set, set to attack, all three
    const solve::Problem problem = job.problem();
    const solve::Setting setting = solve::make_setting(problem);
    const solve::Play& play = play_holding(setting, 2, true);
    CHECK(play.slow);
    const auto rally = solve::on_beats(setting.grid, setting.clip_of(play), play, setting.grid.slots[2]);
    REQUIRE(rally);
    CHECK(rally->last().slot == 4); // 15 frames in 25: the first beat below 0.8
}

TEST_CASE("the solver shows a whole rally where that is worth it, and one contact where it is not") {
    tests::Job job = rally_job();
    const auto held = [&] {
        const solve::Outcome outcome = solve::solve(job.problem());
        const auto& plan = std::get<CutPlan>(outcome);
        CHECK(solve::check(job.problem(), plan) == std::vector<std::string>{});
        std::size_t most = 0;
        for (const PlannedShot& shot : plan.shots)
            if (!shot.stretches.empty()) most = std::max(most, shot.anchors.size());
        return most;
    };
    job.limits.weights.rally = 5;
    CHECK(held() == 3);
    job.limits.rally.contacts_max = 2;
    CHECK(held() == 2);
    job.limits.rally.contacts_max = 1;
    CHECK(held() == 0);
}

TEST_CASE("no rally holds a contact that is banned, or one outside of its take") {
    tests::Job job = rally_job();
    job.limits.weights.rally = 5;
    const auto longest = [&] {
        const auto setting = solve::make_setting(job.problem());
        int held = 0;
        for (const solve::Play& play : setting.stock.plays)
            held = std::max(held, play.impact >= 0 ? play.held : 0);
        return held;
    };
    CHECK(longest() == 3);
    SECTION("the last one is banned") {
        job.limits.bans = {"rally#3"};
        CHECK(longest() == 2);
    }
    SECTION("the one between is banned") {
        job.limits.bans = {"rally#2"};
        CHECK(longest() == 1);
        const auto outcome = solve::solve(job.problem());
        for (const PlannedShot& shot : std::get<CutPlan>(outcome).shots)
            CHECK(shot.id != "rally#2");
    }
    SECTION("the last one lies behind the take's out") {
        job.log.takes.front().out_s = 2.4;
        CHECK(longest() == 2);
    }
}

// 38 source frames, which at 0.8 between the contacts fill the 42 of the shortest shot.
TEST_CASE("a take that is too short in real time may be long enough as a rally") {
    tests::Job job = rally_job();
    Take& rally = job.log.takes.front();
    rally.in_s = 0.8;
    rally.out_s = 2.32;
    rally.use = Use::must;
    rally.impacts.pop_back();
    rally.impacts[1].picture_s = 1.8;
    job.limits.pacing.shortest_s = 1.68;
    const solve::Outcome outcome = solve::solve(job.problem());
    REQUIRE(std::holds_alternative<CutPlan>(outcome));
    const auto& plan = std::get<CutPlan>(outcome);
    CHECK(solve::check(job.problem(), plan) == std::vector<std::string>{});
    CHECK(std::any_of(plan.shots.begin(), plan.shots.end(),
                      [](const PlannedShot& shot) { return shot.speed == Fraction(4, 5); }));
}

TEST_CASE("a rally stays in the next cut, and one that comes for a single contact is told") {
    tests::Job job = rally_job();
    job.limits.weights.rally = 5;
    solve::Problem problem = job.problem();
    const CutPlan first = std::get<CutPlan>(solve::solve(problem));
    const LastCut last = solve::as_last_cut(problem, first);
    problem.last = &last;
    const CutPlan second = std::get<CutPlan>(solve::solve(problem));
    REQUIRE(second.shots.size() == first.shots.size());
    const auto moved = [](const auto& changes) {
        return std::count_if(changes.begin(), changes.end(), [](const solve::CutChange& change) {
            return change.what != solve::CutChange::What::stayed;
        });
    };
    CHECK(moved(solve::cut_changes(last, solve::as_last_cut(problem, second), Rate(25))) == 0);
    LastCut alone = last;
    for (LastCut::Shot& shot : alone.shots)
        shot.held = 1;
    CHECK(moved(solve::cut_changes(alone, last, Rate(25))) == 1);
}

TEST_CASE("the judge finds rallies broken in one place") {
    Broken c;
    SECTION("a joint beside its beat") {
        c.rally().stretches[1].record.out -= Frame{1};
        c.rally().stretches[2].record.in -= Frame{1};
        CHECK(c.told("at its beat's frame"));
    }
    SECTION("another picture on the beat") {
        c.rally().stretches[1].source.out += Frame{1};
        c.rally().stretches[2].source.in += Frame{1};
        CHECK(c.told("does not show contact rally#2 at its beat's frame"));
    }
    SECTION("stretches that do not abut") {
        c.rally().stretches[2].source.in += Frame{1};
        CHECK(c.told("do not follow one another"));
    }
    SECTION("a beat farther off than another") {
        c.job.limits.rally.slowest = 0.5;
        c.rally().anchors[2].beat = 6;
        CHECK(c.told("nearer to its pace is beat 5"));
    }
    SECTION("too fast") {
        c.job.limits.rally.fastest = 1.2;
        CHECK(c.told("no speed between contacts rally#1 and rally#2 is allowed"));
    }
    SECTION("too slow") {
        c.job.limits.rally.slowest = 0.9;
        CHECK(c.told("no speed between contacts"));
    }
    SECTION("a contact left out") {
        c.rally().anchors.erase(c.rally().anchors.begin() + 1);
        CHECK(c.told("leaves out a contact"));
    }
    SECTION("too many") {
        c.job.limits.rally.contacts_max = 2;
        CHECK(c.told("holds 3 contacts"));
    }
    SECTION("a lead that is retimed") {
        c.rally().source_in -= Frame{1};
        c.rally().stretches[0].source.in -= Frame{1};
        CHECK(c.told("is retimed before its first or after its last contact"));
    }
    SECTION("a tail that is retimed") {
        c.rally().stretches[3].source.out += Frame{2};
        CHECK(c.told("is retimed before its first or after its last contact"));
    }
    SECTION("a tail too short") {
        c.job.limits.pacing.tail_s = 0.6;
        CHECK(c.told("tail is"));
    }
    SECTION("an unsure contact") {
        c.job.log.takes[0].impacts[2].confidence = 0.2;
        CHECK(c.told("of confidence"));
    }
    SECTION("another speed said than run at") {
        c.rally().speed = Fraction(1);
        CHECK(c.told("another speed than its slowest stretch"));
    }
    SECTION("one of its contacts shown again") {
        PlannedShot again = c.rally();
        again.id = "rally#3";
        again.anchors = {again.anchors[2]};
        again.stretches.clear();
        again.speed = Fraction(1);
        again.record = {Frame{75}, Frame{150}};
        c.plan.shots[2] = again;
        CHECK(c.told("hangs on the same contact as shot 2"));
    }
}
