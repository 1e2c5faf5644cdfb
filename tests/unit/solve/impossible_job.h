// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "unit/solve/exhaustive.h"
#include "unit/solve/small_job.h"

namespace downball::tests {

// A small job with one to three limits more, each of which asks for much: most of them cannot be met, by
// themselves, with each other or with what the job asked before.
class ImpossibleJob {
  public:
    explicit ImpossibleJob(std::uint64_t seed, bool tiny = true)
        : dice_(seed * 2862933555777941757U + 3), job_(tiny ? tiny_job(seed) : SmallJob(seed).job()) {
        for (int more = dice_.whole(1, 3); more > 0; --more)
            tighten();
    }
    const Job& job() const { return job_; }

  private:
    const Take& any_take() { return job_.log.takes[static_cast<std::size_t>(dice_.whole(0, takes() - 1))]; }
    int takes() const { return static_cast<int>(job_.log.takes.size()); }

    void tighten() {
        Variety& variety = job_.limits.variety;
        switch (dice_.whole(0, 9)) {
        case 0:
            variety.players[dice_.chance(0.5) ? "A1" : "B2"].at_least = dice_.whole(1, 3);
            break;
        case 1:
            variety.players[dice_.chance(0.5) ? "A1" : "B2"].at_most = dice_.whole(0, 1);
            break;
        case 2:
            variety.skills[static_cast<Skill>(dice_.whole(0, 5))].at_least = dice_.whole(1, 2);
            break;
        case 3:
            variety.cutaway_share_max = dice_.real(0, 0.4);
            break;
        case 4:
            variety.reaction_share_max = dice_.real(0, 0.2);
            break;
        case 5:
            job_.log.takes[static_cast<std::size_t>(dice_.whole(0, takes() - 1))].use = Use::must;
            break;
        case 6:
            job_.limits.story.order = Order::chronological;
            break;
        case 7:
            lock();
            break;
        case 8:
            differ();
            break;
        default:
            pace();
        }
    }

    // At the lead-in of a beat, or on it, so that it often can stand there.
    void lock() {
        const Take& take = any_take();
        const double fps = job_.limits.delivery.rate.per_second();
        Lock lock;
        lock.shot =
            take.kind == Kind::action && !take.impacts.empty() ? take.impacts.front().id : take.id + "@1";
        const Beat& beat = job_.beats.beats[static_cast<std::size_t>(
            dice_.whole(0, static_cast<int>(job_.beats.beats.size()) - 1))];
        const double lead = take.kind == Kind::action ? job_.limits.pacing.lead_in_min_s : 0;
        lock.record_in = Frame{std::llround((beat.seconds - lead - job_.song_start_s) * fps)};
        job_.limits.locks.push_back(lock);
    }

    void differ() {
        OtherCut other;
        other.name = "the first cut";
        other.shared_share_max = dice_.real(0, 0.3);
        for (const Take& take : job_.log.takes) {
            if (dice_.chance(0.8)) other.takes.insert(take.id);
            for (const Impact& impact : take.impacts)
                if (dice_.chance(0.8)) other.contacts.insert(impact.id);
        }
        job_.limits.others.push_back(other);
    }

    void pace() {
        Pacing& pacing = job_.limits.pacing;
        if (dice_.chance(0.5))
            pacing.longest_s = pacing.shortest_s + dice_.real(0, 0.3);
        else
            pacing.shortest_cutaway_s = dice_.real(0.5, 2);
    }

    Dice dice_;
    Job job_;
};

} // namespace downball::tests
