// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/diagnose.h"
#include "solve/search.h"

#include <algorithm>
#include <fmt/format.h>
#include <functional>

namespace downball::solve {
namespace {

// Limits and log as they are while some limits are left out.
struct Relaxed {
    Limits limits;
    ShotLog log;
};

// A limit that can be left out, and tried at looser values on the way there.
struct Member {
    std::string words;
    std::function<void(Relaxed&)> drop;
    std::function<bool(Relaxed&, int)> loosen; // n-th looser value; false = there is none
    std::function<std::string(int)> remedy;    // words for the n-th looser value
    std::string otherwise;                     // remedy where no looser value helps
};

class Conflicts {
  public:
    Conflicts(const Problem& problem, const LongWork& work) : problem_(problem), work_(work) { collect(); }

    Conflict run(bool proven) {
        std::vector<char> kept(members_.size(), 1);
        bool sure = proven;
        for (std::size_t m = 0; m < members_.size() && !work_.stop_asked(); ++m) {
            kept[m] = 0;
            Found found = try_with(kept, nullptr);
            // A proof is worth more than the smallest set: what is not proven to be needless stays.
            if (found.cut || (proven && !found.impossible))
                kept[m] = 1;
            else
                sure = sure && found.impossible;
        }
        Conflict conflict;
        conflict.proven = sure;
        for (std::size_t m = 0; m < members_.size(); ++m)
            if (kept[m]) {
                conflict.limits.push_back(members_[m].words);
                conflict.remedies.push_back(remedy_of(kept, m));
            }
        if (conflict.limits.empty()) {
            conflict.limits.push_back("the takes in the log cannot fill this length on these beats");
            conflict.remedies.push_back("a shorter length, or more takes");
        }
        return conflict;
    }

  private:
    Found try_with(const std::vector<char>& kept, const std::function<void(Relaxed&)>& change) const {
        Relaxed relaxed{problem_.limits, problem_.log};
        for (std::size_t m = 0; m < members_.size(); ++m)
            if (!kept[m]) members_[m].drop(relaxed);
        if (change) change(relaxed);
        std::erase_if(relaxed.limits.locks, [](const Lock& lock) { return lock.shot.empty(); });
        Problem problem{problem_.beats, relaxed.log, relaxed.limits, problem_.song_start_s};
        Setting setting = make_setting(problem);
        if (plain_conflict(setting)) {
            Found none;
            none.impossible = true;
            return none;
        }
        return search(setting, {true, 0.3}, work_);
    }

    std::string remedy_of(const std::vector<char>& kept, std::size_t m) const {
        const Member& member = members_[m];
        for (int n = 1; n <= 12 && member.loosen && !work_.stop_asked(); ++n) {
            bool any = true;
            Found found = try_with(kept, [&](Relaxed& relaxed) { any = member.loosen(relaxed, n); });
            if (!any) break;
            if (found.cut) return member.remedy(n);
        }
        return member.otherwise;
    }

    template <class Map, class Key>
    void add_bounds(const std::string& what, Map Variety::*map, Key key, const Bounds& bounds) {
        int least = bounds.at_least;
        if (least > 0)
            members_.push_back({fmt::format("at least {} {}", least, what),
                                [=](Relaxed& r) { (r.limits.variety.*map)[key].at_least = 0; },
                                [=](Relaxed& r, int n) {
                                    (r.limits.variety.*map)[key].at_least = least - n;
                                    return n <= least;
                                },
                                [=](int n) { return fmt::format("at least {} {}", least - n, what); },
                                "drop that limit"});
        if (!bounds.at_most) return;
        int most = *bounds.at_most;
        members_.push_back({fmt::format("at most {} {}", most, what),
                            [=](Relaxed& r) { (r.limits.variety.*map)[key].at_most.reset(); },
                            [=](Relaxed& r, int n) {
                                (r.limits.variety.*map)[key].at_most = most + n;
                                return true;
                            },
                            [=](int n) { return fmt::format("at most {} {}", most + n, what); },
                            "drop that limit"});
    }

    void add_share(const std::string& what, double Variety::*share) {
        double most = problem_.limits.variety.*share;
        if (most >= 1) return;
        members_.push_back({fmt::format("{} at most {:.0f} % of the cut", what, most * 100),
                            [=](Relaxed& r) { r.limits.variety.*share = 1; },
                            [=](Relaxed& r, int n) {
                                r.limits.variety.*share = std::min(1.0, most + 0.05 * n);
                                return most + 0.05 * (n - 1) < 1;
                            },
                            [=](int n) {
                                return fmt::format("{} up to {:.0f} %", what,
                                                   std::min(100.0, (most + 0.05 * n) * 100));
                            },
                            fmt::format("allow more {}", what)});
    }

    // A limit in seconds, loosened in `steps` equal steps towards `loosest`.
    void add_seconds(const std::string& what, double Pacing::*value, double loosest) {
        double now = problem_.limits.pacing.*value;
        if (now == loosest) return;
        auto at = [=](int n) { return now + (loosest - now) * n / 12; };
        members_.push_back({fmt::format("{} {:.2f} s", what, now),
                            [=](Relaxed& r) { r.limits.pacing.*value = loosest; },
                            [=](Relaxed& r, int n) {
                                r.limits.pacing.*value = at(n);
                                return true;
                            },
                            [=](int n) { return fmt::format("{} {:.2f} s", what, at(n)); },
                            fmt::format("{} {:.2f} s", what, loosest)});
    }

    void collect() {
        const Limits& limits = problem_.limits;
        for (const auto& [player, bounds] : limits.variety.players)
            add_bounds("shots of player " + player, &Variety::players, player, bounds);
        for (const auto& [skill, bounds] : limits.variety.skills)
            add_bounds(fmt::format("action shots that show '{}'", to_string(skill)), &Variety::skills, skill,
                       bounds);
        for (std::size_t t = 0; t < problem_.log.takes.size(); ++t)
            if (problem_.log.takes[t].use == Use::must)
                members_.push_back({fmt::format("take {} must be used", problem_.log.takes[t].id),
                                    [=](Relaxed& r) { r.log.takes[t].use = Use::free; },
                                    {},
                                    {},
                                    fmt::format("free take {} from 'must'", problem_.log.takes[t].id)});
        for (std::size_t n = 0; n < limits.locks.size(); ++n)
            members_.push_back({fmt::format("lock on shot {}", limits.locks[n].shot),
                                [=](Relaxed& r) { r.limits.locks[n].shot.clear(); },
                                {},
                                {},
                                fmt::format("take the lock on {} away", limits.locks[n].shot)});
        add_share("cutaways", &Variety::cutaway_share_max);
        add_share("reactions", &Variety::reaction_share_max);
        add_share("slow motion", &Variety::slow_motion_share_max);
        if (!limits.variety.replays)
            members_.push_back({"each contact shown once, whichever camera",
                                [](Relaxed& r) { r.limits.variety.replays = true; },
                                {},
                                {},
                                "allow replays"});
        double floor = limits.variety.confidence_floor;
        if (floor > 0)
            members_.push_back(
                {fmt::format("contacts of confidence {:.2f} or more", floor),
                 [](Relaxed& r) { r.limits.variety.confidence_floor = 0; },
                 [=](Relaxed& r, int n) {
                     r.limits.variety.confidence_floor = floor * (1 - n / 12.0);
                     return true;
                 },
                 [=](int n) { return fmt::format("confidence floor {:.2f}", floor * (1 - n / 12.0)); },
                 "lower confidence floor"});
        int handle = limits.pacing.handle_frames;
        if (handle > 0)
            members_.push_back(
                {fmt::format("handles of {} frames", handle),
                 [](Relaxed& r) { r.limits.pacing.handle_frames = 0; },
                 [=](Relaxed& r, int n) {
                     r.limits.pacing.handle_frames = handle * (12 - n) / 12;
                     return true;
                 },
                 [=](int n) { return fmt::format("handles of {} frames", handle * (12 - n) / 12); },
                 "shorter handles"});
        add_seconds("tail", &Pacing::tail_s, 0);
        double rest = problem_.beats.duration_s - problem_.song_start_s;
        double length = std::min(limits.delivery.length_s.value_or(rest), rest);
        add_seconds("shortest shot", &Pacing::shortest_s, std::min(limits.pacing.shortest_s, 0.04));
        add_seconds("shortest shot without action", &Pacing::shortest_cutaway_s, 0);
        add_seconds("shortest slow-motion shot", &Pacing::shortest_slow_s, 0);
        add_seconds("tail of at most", &Pacing::tail_max_s, std::max(limits.pacing.tail_max_s, length));
        add_seconds("longest shot", &Pacing::longest_s, std::max(limits.pacing.longest_s, length));
        members_.push_back({fmt::format("length {:.2f} s", length),
                            [=](Relaxed& r) { r.limits.delivery.length_s = std::min(length, 2.0); },
                            [=](Relaxed& r, int n) {
                                r.limits.delivery.length_s = length * (1 - n / 13.0);
                                return true;
                            },
                            [=](int n) { return fmt::format("length {:.2f} s", length * (1 - n / 13.0)); },
                            "a shorter length"});
    }

    const Problem& problem_;
    const LongWork& work_;
    std::vector<Member> members_;
};

} // namespace

Conflict conflict_by_search(const Problem& problem, bool proven, const LongWork& work) {
    return Conflicts(problem, work).run(proven);
}

} // namespace downball::solve
