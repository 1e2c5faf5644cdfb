// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/movable.h"

#include "solve/diagnose.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <set>

namespace downball::solve {
namespace {

class Collector {
  public:
    explicit Collector(const Problem& problem) : problem_(problem) {}

    std::vector<Movable> run() {
        const Limits& limits = problem_.limits;
        for (const auto& [player, bounds] : limits.variety.players)
            add_bounds("shots of player " + player, &Variety::players, player, bounds);
        for (const auto& [skill, bounds] : limits.variety.skills)
            add_bounds(fmt::format("action shots that show '{}'", to_string(skill)), &Variety::skills, skill,
                       bounds);
        add_others();
        add_takes_and_locks();
        add_share("cutaways", &Variety::cutaway_share_max);
        add_share("reactions", &Variety::reaction_share_max);
        add_share("slow motion", &Variety::slow_motion_share_max);
        if (!limits.variety.replays)
            add({"each contact shown once, whichever camera",
                 [](Moved& m) { m.limits.variety.replays = true; }, "allow replays"});
        if (limits.story.order == Order::chronological)
            add({"shots in the order of the day", [](Moved& m) { m.limits.story.order = Order::story; },
                 "the order 'story' or 'free'"});
        add_floor();
        if (int handle = limits.pacing.handle_frames; handle > 0)
            add({fmt::format("handles of {} frames", handle),
                 [](Moved& m) { m.limits.pacing.handle_frames = 0; }, "no handles", handle - 1,
                 [=](Moved& m, int n) { m.limits.pacing.handle_frames = handle - n; },
                 [=](int n) { return fmt::format("handles of {} frames", handle - n); }});
        double rest = problem_.beats.duration_s - problem_.song_start_s;
        const Pacing& pacing = limits.pacing;
        add_seconds("tail of at least", &Pacing::tail_s, 0);
        add_seconds("tail of at most", &Pacing::tail_max_s, std::max(pacing.tail_max_s, rest));
        add_seconds("shortest shot without action", &Pacing::shortest_cutaway_s, 0);
        add_seconds("shortest slow-motion shot", &Pacing::shortest_slow_s, 0);
        add_seconds("shortest shot", &Pacing::shortest_s, std::min(pacing.shortest_s, 0.04));
        add_seconds("longest shot", &Pacing::longest_s, std::max(pacing.longest_s, rest));
        return std::move(found_);
    }

  private:
    void add(Movable limit) { found_.push_back(std::move(limit)); }

    template <class Map, class Key>
    void add_bounds(const std::string& what, Map Variety::*map, Key key, const Bounds& bounds) {
        int least = bounds.at_least;
        if (least > 0)
            add({fmt::format("at least {} {}", least, what),
                 [=](Moved& m) { (m.limits.variety.*map)[key].at_least = 0; },
                 fmt::format("no least number of {}", what), least - 1,
                 [=](Moved& m, int n) { (m.limits.variety.*map)[key].at_least = least - n; },
                 [=](int n) { return fmt::format("at least {} {}", least - n, what); }});
        if (!bounds.at_most) return;
        int most = *bounds.at_most;
        add({fmt::format("at most {} {}", most, what),
             [=](Moved& m) { (m.limits.variety.*map)[key].at_most.reset(); },
             fmt::format("no greatest number of {}", what), 255,
             [=](Moved& m, int n) { (m.limits.variety.*map)[key].at_most = most + n; },
             [=](int n) { return fmt::format("at most {} {}", most + n, what); }});
    }

    void add_others() {
        const auto& others = problem_.limits.others;
        for (std::size_t n = 0; n < others.size(); ++n) {
            const double most = others[n].shared_share_max;
            const auto at = [=](int step) { return std::min(1.0, most + 0.01 * step); };
            const auto words = [=, name = others[n].name](int step) {
                return fmt::format("at most {:.0f} % of the shots shared with {}", at(step) * 100, name);
            };
            // Dropped, it binds nothing; its place among the others stays.
            add({words(0), [=](Moved& m) { m.limits.others[n] = {}; },
                 fmt::format("as many shots of {} as you like", others[n].name),
                 static_cast<int>(std::ceil((1 - most) * 100 - 1e-9)),
                 [=](Moved& m, int step) { m.limits.others[n].shared_share_max = at(step); }, words});
        }
    }

    void add_takes_and_locks() {
        const auto& takes = problem_.log.takes;
        for (std::size_t t = 0; t < takes.size(); ++t)
            if (takes[t].use == Use::must)
                add({fmt::format("take {} must be used", takes[t].id),
                     [=](Moved& m) { m.log.takes[t].use = Use::free; },
                     fmt::format("free take {} from 'must'", takes[t].id)});
        const auto& locks = problem_.limits.locks;
        for (std::size_t n = 0; n < locks.size(); ++n) {
            const std::string id = locks[n].shot;
            std::vector<std::int64_t> frames;
            if (locks[n].record_in) frames = frames_for_lock(problem_, locks[n], 4);
            add({fmt::format("lock on shot {}", id), [=](Moved& m) { m.limits.locks[n].shot.clear(); },
                 fmt::format("take the lock on {} away", id), static_cast<int>(frames.size()),
                 [=](Moved& m, int step) {
                     m.limits.locks[n].record_in = Frame{frames[static_cast<std::size_t>(step - 1)]};
                 },
                 [=](int step) {
                     return fmt::format("lock {} at record frame {}", id,
                                        frames[static_cast<std::size_t>(step - 1)]);
                 },
                 false});
        }
    }

    void add_share(const std::string& what, double Variety::*share) {
        double most = problem_.limits.variety.*share;
        if (most >= 1) return;
        auto at = [=](int n) { return std::min(1.0, most + 0.01 * n); };
        add({fmt::format("{} at most {:.0f} % of the cut", what, most * 100),
             [=](Moved& m) { m.limits.variety.*share = 1; }, fmt::format("{} without a share", what),
             static_cast<int>(std::ceil((1 - most) * 100 - 1e-9)),
             [=](Moved& m, int n) { m.limits.variety.*share = at(n); },
             [=](int n) { return fmt::format("{} up to {:.0f} %", what, at(n) * 100); }});
    }

    // Only the confidences that contacts have are worth trying.
    void add_floor() {
        double floor = problem_.limits.variety.confidence_floor;
        std::set<double> lower;
        for (const Take& take : problem_.log.takes)
            for (const Impact& impact : take.impacts)
                if (impact.confidence < floor) lower.insert(std::floor(impact.confidence * 100) / 100);
        if (lower.empty()) return;
        std::vector<double> values(lower.rbegin(), lower.rend());
        add({fmt::format("contacts of confidence {:.2f} or more", floor),
             [](Moved& m) { m.limits.variety.confidence_floor = 0; }, "no confidence floor",
             static_cast<int>(values.size()),
             [=](Moved& m, int n) {
                 m.limits.variety.confidence_floor = values[static_cast<std::size_t>(n - 1)];
             },
             [=](int n) {
                 return fmt::format("confidence floor {:.2f}", values[static_cast<std::size_t>(n - 1)]);
             }});
    }

    // In steps of a twentieth of a second towards `loosest`.
    void add_seconds(const std::string& what, double Pacing::*value, double loosest) {
        double now = problem_.limits.pacing.*value;
        if (now == loosest) return;
        double way = loosest - now;
        int steps = std::clamp(static_cast<int>(std::abs(way) * 20), 1, 2000);
        // Rounded to what is printed, on the loose side, so that the words mean what was tried.
        auto at = [=](int n) {
            double exact = now + way * n / steps;
            return way > 0 ? std::ceil(exact * 100) / 100 : std::max(0.0, std::floor(exact * 100) / 100);
        };
        add({fmt::format("{} {:.2f} s", what, now), [=](Moved& m) { m.limits.pacing.*value = loosest; },
             fmt::format("{} {:.2f} s", what, loosest), steps,
             [=](Moved& m, int n) { m.limits.pacing.*value = std::max(at(n), 0.01); },
             [=](int n) { return fmt::format("{} {:.2f} s", what, std::max(at(n), 0.01)); }});
    }

    const Problem& problem_;
    std::vector<Movable> found_;
};

} // namespace

std::vector<Movable> movable_limits(const Problem& problem) {
    return Collector(problem).run();
}

Movable movable_length(const Problem& problem) {
    double rest = problem.beats.duration_s - problem.song_start_s;
    double length = std::min(problem.limits.delivery.length_s.value_or(rest), rest);
    int steps = std::max(0, static_cast<int>(length * 10) - 10);
    auto at = [=](int n) { return std::floor((length - 0.1 * n) * 10 + 1e-6) / 10; };
    return {fmt::format("length {:.2f} s", length),
            [=](Moved& m) { m.limits.delivery.length_s = std::min(length, 1.0); },
            "a length of 1 s",
            steps,
            [=](Moved& m, int n) { m.limits.delivery.length_s = at(n); },
            [=](int n) { return fmt::format("length {:.2f} s", at(n)); },
            true};
}

} // namespace downball::solve
