// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "unit/solve/random_job.h"

namespace downball::tests {

// Up to 12 takes and 40 beats, with something of everything that limits and log can say: quotas, musts, locks, orders,
// replays, shares, handles, places to cut on, start labels, conformed takes, several takes of one file.
class SmallJob {
  public:
    explicit SmallJob(std::uint64_t seed) : dice_(seed * 6364136223846793005U + 97), job_(make(seed)) {
        pace();
        log();
        story();
        quotas();
        locks();
        rallies();
        bans();
    }
    const Job& job() const { return job_; }

  private:
    Job make(std::uint64_t seed) {
        static const Rate rates[] = {Rate(24000, 1001), Rate(24), Rate(25), Rate(30)};
        // Many takes on many beats make a programme that takes long: most jobs have few of one of them.
        int takes = dice_.whole(3, 12);
        int beats = takes < 6 ? dice_.whole(4, 40) : takes < 9 ? dice_.whole(4, 20) : dice_.whole(4, 12);
        double bpm = dice_.real(90, 160);
        JobSize size{takes,
                     (beats + 0.5) * 60 / bpm,
                     bpm,
                     rates[dice_.whole(0, 3)],
                     dice_.real(1, 2.5),
                     dice_.real(0.2, 0.6),
                     6};
        return make_job(seed, size);
    }

    void pace() {
        Pacing& pacing = job_.limits.pacing;
        double frame_s = 1 / job_.limits.delivery.rate.per_second();
        double beat_s = 60 / job_.beats.tempo_bpm;
        pacing.shortest_s = dice_.real(0.2, 0.8);
        pacing.longest_s = pacing.shortest_s + dice_.real(1.5, 4) * beat_s;
        pacing.lead_in_min_s = dice_.whole(1, 5) * frame_s;
        pacing.lead_in_max_s = pacing.lead_in_min_s + (dice_.chance(0.7) ? 0 : dice_.whole(1, 2) * frame_s);
        pacing.tail_s = dice_.real(0.05, 0.3);
        pacing.tail_max_s = dice_.real(0.3, 2);
        pacing.shortest_cutaway_s = dice_.real(0, 1);
        pacing.shortest_slow_s = dice_.real(0, 1.2);
        pacing.handle_frames = dice_.chance(0.3) ? dice_.whole(1, 8) : 0;
        pacing.cut_on = static_cast<CutOn>(dice_.whole(0, 2));
        job_.song_start_s = dice_.chance(0.3) ? dice_.real(0, 1) : 0;
        if (dice_.chance(0.4)) job_.limits.delivery.length_s = job_.beats.duration_s - dice_.real(0, 1);
    }

    void log() {
        bool one_rally = dice_.chance(0.4),
             untold = dice_.chance(0.4); // of several cameras; a skill is missing
        for (std::size_t t = 0; t < job_.log.takes.size(); ++t) {
            Take& take = job_.log.takes[t];
            MediaInfo& file = job_.log.media[take.media];
            if (dice_.chance(0.1)) take.use = dice_.chance(0.5) ? Use::must : Use::never;
            if (take.use == Use::free && dice_.chance(0.05)) take.kind = Kind::sound;
            if (dice_.chance(0.1)) take.capture_fps = 4 * file.rate->per_second();
            if (dice_.chance(0.1)) take.size = Size::unknown;
            if (dice_.chance(0.1)) take.angle = Angle::unknown;
            if (dice_.chance(0.1)) take.camera.clear();
            if (dice_.chance(0.2)) {
                StartTimecode start;
                start.at = Frame{dice_.whole(0, 500)};
                start.rate = *file.rate;
                file.start = start;
            }
            if (t > 0 && dice_.chance(0.1)) share_file(take, job_.log.takes[t - 1]);
            if (one_rally && dice_.chance(0.7)) take.moment = "rally";
            for (Impact& impact : take.impacts) {
                if (untold && dice_.chance(0.1)) impact.skill.reset();
                if (impact.skill == Skill::attack) impact.with_block = dice_.chance(0.2);
            }
        }
        // Without a shot that may open the cut anywhere most jobs have none.
        Take& first = job_.log.takes.front();
        if (dice_.chance(0.8)) {
            first.kind = dice_.chance(0.5) ? Kind::establishing : Kind::cutaway;
            first.use = Use::free;
            first.impacts.clear();
            first.skills.clear();
        }
    }

    static void share_file(Take& take, const Take& other) {
        take.media = other.media;
        take.out_s = other.out_s;
        std::erase_if(take.impacts,
                      [&](const Impact& impact) { return impact.picture_s > take.out_s - 0.3; });
    }

    void story() {
        Variety& variety = job_.limits.variety;
        variety.replays = dice_.chance(0.3);
        variety.cutaway_share_max = dice_.chance(0.6) ? 1 : dice_.real(0.3, 1);
        variety.reaction_share_max = dice_.chance(0.6) ? 1 : dice_.real(0.3, 1);
        variety.slow_motion_share_max = dice_.real(0, 1);
        job_.limits.story.order = static_cast<Order>(dice_.whole(0, 2));
        Weights& w = job_.limits.weights;
        for (double* weight : {&w.sync, &w.accent, &w.confidence, &w.rating, &w.pace, &w.variety, &w.reaction,
                               &w.spread, &w.chronology, &w.side, &w.story, &w.coverage, &w.fresh})
            *weight = dice_.chance(0.2) ? 0 : dice_.real(0, 1.5);
    }

    // Of players and skills that are there, mostly.
    void quotas() {
        Variety& variety = job_.limits.variety;
        for (const Take& take : job_.log.takes) {
            if (take.use == Use::never || !dice_.chance(0.12)) continue;
            if (!take.players.empty()) {
                Bounds& bounds = variety.players[take.players.front()];
                if (dice_.chance(0.5))
                    bounds.at_most = dice_.whole(1, 2);
                else
                    bounds.at_least = std::min(dice_.whole(1, 2), bounds.at_most.value_or(2));
            }
            if (!take.skills.empty()) {
                Bounds& bounds = variety.skills[take.skills.front()];
                if (dice_.chance(0.5))
                    bounds.at_most = dice_.whole(0, 1);
                else
                    bounds.at_least = 1;
            }
        }
    }

    void locks() {
        for (const Take& take : job_.log.takes) {
            if (take.use == Use::never || take.kind == Kind::sound || !dice_.chance(0.06)) continue;
            Lock lock;
            if (take.kind != Kind::action) {
                lock.shot = take.id + "@1";
                if (dice_.chance(0.5)) lock.record_in = Frame{0};
                if (lock.record_in && dice_.chance(0.5)) lock.source_in = Frame{dice_.whole(5, 30)};
            } else if (!take.impacts.empty())
                lock.shot = take.impacts.front().id;
            if (!lock.shot.empty()) job_.limits.locks.push_back(lock);
        }
    }

    void rallies() {
        Rally& rally = job_.limits.rally;
        rally.contacts_max = dice_.whole(1, 4);
        rally.slowest = dice_.real(0.6, 0.95);
        rally.fastest = dice_.real(1.05, 1.5);
        job_.limits.weights.rally = dice_.chance(0.2) ? 0 : dice_.real(0, 1.5);
    }

    void bans() {
        for (const Take& take : job_.log.takes)
            for (const Impact& impact : take.impacts)
                if (dice_.chance(0.02)) job_.limits.bans.insert(impact.id);
        for (Lock& lock : job_.limits.locks)
            if (lock.shot.find('@') == std::string::npos && dice_.chance(0.3)) lock.held = dice_.whole(1, 2);
    }

    Dice dice_;
    Job job_;
};

} // namespace downball::tests
