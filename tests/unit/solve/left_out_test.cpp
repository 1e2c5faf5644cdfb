// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/solve/left_out.h"

#include <algorithm>
#include <fmt/format.h>

using namespace downball;

// Why takes are left out. Each reason stands alone in its job, and is gone where what makes it is loosened.

namespace {

// Six seconds at 120 beats a minute; four places of the day fill them, unless a test says otherwise.
struct Job {
    BeatGrid beats;
    ShotLog log;
    Limits limits;

    explicit Job(Kind filler = Kind::cutaway) {
        beats.duration_s = 6;
        beats.tempo_bpm = 120;
        beats.beats_per_bar = 4;
        beats.steady = true;
        for (int k = 0; k < 12; ++k)
            beats.beats.push_back({k * 0.5, k % 4 + 1, 0.5, 0.5});
        limits.delivery.rate = Rate(25);
        limits.variety.cutaway_share_max = limits.variety.reaction_share_max = 1;
        for (const char* id : {"f1", "f2", "f3", "f4"})
            add(id, filler);
    }
    Take& add(const std::string& id, Kind kind, double length_s = 10) {
        MediaInfo file;
        file.path = file.name = id + ".mp4";
        file.rate = file.frames.constant = Rate(25);
        file.duration_s = length_s;
        file.has_video = true;
        log.media.push_back(file);
        Take take;
        take.id = id;
        take.kind = kind;
        take.media = log.media.size() - 1;
        take.order = static_cast<int>(log.takes.size());
        take.out_s = length_s;
        log.takes.push_back(take);
        return log.takes.back();
    }
    Take& action(const std::string& id, double contact_s = 5, double confidence = 1) {
        Take& take = add(id, Kind::action);
        Impact impact;
        impact.id = id + "#1";
        impact.picture_s = impact.sound_s = contact_s;
        impact.confidence = confidence;
        impact.strength = 1;
        impact.skill = Skill::attack;
        take.impacts = {impact};
        take.skills = {Skill::attack};
        return take;
    }
    solve::Problem problem() const { return {beats, log, limits, 0}; }

    std::vector<solve::LeftOut> all() const {
        const auto outcome = solve::solve(problem());
        REQUIRE(std::holds_alternative<CutPlan>(outcome));
        return solve::left_out(problem(), std::get<CutPlan>(outcome));
    }
    std::string why(const std::string& id) const {
        for (const auto& [take, words] : all())
            if (log.takes[take].id == id) return words;
        return "used";
    }
};

bool says(const std::string& why, const std::string& words) {
    INFO(why);
    return why.find(words) != why.npos;
}

} // namespace

TEST_CASE("a take that is never to be used, or for its sound only, is left out for that") {
    Job job;
    job.action("t").use = Use::never;
    CHECK(job.why("t") == "the log says that it is never to be used");
    job.log.takes.back().use = Use::free;
    job.log.takes.back().kind = Kind::sound;
    CHECK(job.why("t") == "it is there for its sound only");
    job.log.takes.back().kind = Kind::action;
    CHECK_FALSE(says(job.why("t"), "sound only"));
}

TEST_CASE("an action without a contact that is sure enough says how sure its best one is") {
    Job job;
    job.action("t", 5, 0.31);
    CHECK(job.why("t") == "none of its contacts is sure enough: the best has confidence 0.31, "
                          "variety.confidence_floor is 0.50");
    job.limits.variety.confidence_floor = 0.3;
    CHECK_FALSE(says(job.why("t"), "sure enough"));
    job.log.takes.back().impacts.clear();
    CHECK(says(job.why("t"), "an action without a contact"));
}

TEST_CASE("an action whose contacts are all banned says so") {
    Job job;
    job.action("t");
    job.limits.bans = {"t#1"};
    CHECK(job.why("t") == "each contact it could hang on is banned");
    job.limits.bans.clear();
    CHECK_FALSE(says(job.why("t"), "banned"));
}

TEST_CASE("a take that is too short says how long it is and how long shots are") {
    Job job;
    job.add("t", Kind::cutaway, 1.0);
    job.limits.pacing.handle_frames = 5;
    CHECK(job.why("t") ==
          "it is too short: 0.60 s without its handles, and such a shot lasts 0.80 s at least");
    job.limits.pacing.handle_frames = 0;
    CHECK_FALSE(says(job.why("t"), "too short"));
    job.limits.pacing.shortest_cutaway_s = 1.1;
    CHECK(job.why("t") == "it is too short: 1.00 s, and such a shot lasts 1.12 s at least");
}

TEST_CASE("a contact too near to an end of its take cannot be on a beat") {
    for (const double contact_s : {9.9, 0.02}) {
        Job job;
        job.action("t", contact_s);
        CHECK(says(job.why("t"),
                   "none of its contacts can be on a beat inside the take: a shot leads in 0.08 s"));
        job.limits.pacing.tail_s = 0;
        job.limits.pacing.lead_in_min_s = 0;
        CHECK_FALSE(says(job.why("t"), "can be on a beat"));
    }
}

TEST_CASE("a contact that another take shows is not shown again while replays are off") {
    Job job;
    for (const char* id : {"a", "t"}) {
        Take& take = job.action(id);
        take.moment = "rally";
        take.camera = id;
    }
    job.log.takes[4].use = Use::must;
    CHECK(job.why("t") == "take a shows the same contact, and replays are off");
    job.limits.variety.replays = true;
    CHECK_FALSE(says(job.why("t"), "same contact"));
    job.log.takes[5].camera = "a"; // which shows it just like that
    CHECK(job.why("t") == "take a shows the same contact at the same camera, angle and speed");
}

TEST_CASE("pictures that another take of the file shows are not shown again") {
    Job job;
    job.action("a").use = Use::must;
    job.action("t").media = job.log.takes[4].media;
    CHECK(job.why("t") == "take a shows the same pictures of its file");
    job.log.takes.back().media = job.log.media.size() - 1;
    CHECK_FALSE(says(job.why("t"), "same pictures"));
}

TEST_CASE("quotas that are full leave takes out") {
    Job job;
    for (const char* id : {"a", "t"})
        job.action(id).players = {"mara"};
    job.log.takes[4].use = Use::must;
    job.limits.variety.players["mara"].at_most = 1;
    CHECK(job.why("t") == "the cut shows player mara as often as variety.players allows: 1");
    job.limits.variety.players.clear();
    CHECK_FALSE(says(job.why("t"), "mara"));
    job.limits.variety.skills[Skill::attack].at_most = 1;
    CHECK(job.why("t") == "the cut shows 'attack' as often as variety.skills allows: 1");
    job.limits.variety.skills[Skill::attack].at_most = 2;
    CHECK_FALSE(says(job.why("t"), "attack"));
}

TEST_CASE("shares that are full leave takes out") {
    Job slow;
    slow.action("t").capture_fps = 100;
    slow.limits.variety.slow_motion_share_max = 0;
    CHECK(slow.why("t") == "slow motion may fill 0.00 s of the cut, and 0.00 s are filled");
    slow.limits.variety.slow_motion_share_max = 1;
    CHECK_FALSE(says(slow.why("t"), "may fill"));

    Job away(Kind::reaction);
    away.add("t", Kind::establishing);
    away.limits.variety.cutaway_share_max = 0.1; // 0.60 s, and such a shot lasts 0.80
    CHECK(away.why("t") == "cutaways may fill 0.60 s of the cut, and 0.00 s are filled");
    away.limits.variety.cutaway_share_max = 1;
    CHECK_FALSE(says(away.why("t"), "may fill"));

    Job face;
    face.add("t", Kind::celebration);
    face.limits.variety.reaction_share_max = 0;
    CHECK(says(face.why("t"), "reactions may fill 0.00 s"));
    face.limits.variety.reaction_share_max = 1;
    CHECK_FALSE(says(face.why("t"), "may fill"));
}

TEST_CASE("a shot of another cut that this one must differ from is left out for that") {
    Job job;
    job.action("t");
    job.limits.others = {{"reel-v1", {"t#1"}, {}, 0}};
    CHECK(job.why("t") == "reel-v1 has it, and no more shots may be in both");
    job.limits.others[0].shared_share_max = 1;
    CHECK_FALSE(says(job.why("t"), "reel-v1"));
}

TEST_CASE("a take that nothing forbids was left out for others that scored higher") {
    Job job;
    for (int n = 0; n < 12; ++n)
        job.add(fmt::format("g{}", n), Kind::cutaway).rating = 1;
    const auto left = job.all();
    REQUIRE_FALSE(left.empty());
    for (const auto& [take, why] : left)
        CHECK(why == "it could have been used: other shots scored higher");
    CHECK(std::ranges::is_sorted(left, {}, &solve::LeftOut::take));
}
