// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/movable.h"

#include "solve/reasons.h"

#include "downball/base/text.h"

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
            add_bounds(shots_of_player(player), &Variety::players, player, bounds);
        for (const auto& [skill, bounds] : limits.variety.skills)
            add_bounds(shots_with_skill(skill), &Variety::skills, skill, bounds);
        add_others();
        add_musts();
        add_locks();
        add_bans();
        add_nevers();
        add_share("cutaways", &Variety::cutaway_share_max);
        add_share("reactions", &Variety::reaction_share_max);
        add_share("slow motion", &Variety::slow_motion_share_max);
        if (!limits.variety.replays)
            add({"no replays: each contact shown once, whichever camera",
                 [](Moved& m) { m.limits.variety.replays = true; }, "allow replays"});
        if (limits.story.order == Order::chronological)
            add({"shots in the order of the day", [](Moved& m) { m.limits.story.order = Order::story; },
                 "the order 'story' or 'free'"});
        add_floor();
        add_cut_on();
        if (int handle = limits.pacing.handle_frames; handle > 0)
            add({said_handles(handle), [](Moved& m) { m.limits.pacing.handle_frames = 0; }, "no handles",
                 handle - 1, [=](Moved& m, int n) { m.limits.pacing.handle_frames = handle - n; },
                 [=](int n) { return said_handles(handle - n); }});
        double rest = problem_.beats.duration_s - problem_.song_start_s;
        const Pacing& pacing = limits.pacing;
        add_seconds("lead-in of at least", &Pacing::lead_in_min_s, 0);
        add_seconds("lead-in of at most", &Pacing::lead_in_max_s, std::max(pacing.lead_in_max_s, 0.5));
        add_seconds("tail of at least", &Pacing::tail_s, 0, [](Pacing& moved, const Pacing& asked) {
            // A tail that was longer than the longest allowed itself.
            moved.tail_max_s = std::max(moved.tail_max_s, asked.tail_s);
        });
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
            add({said_at_least(least, what), [=](Moved& m) { (m.limits.variety.*map)[key].at_least = 0; },
                 fmt::format("no least number of {}", plural(what)), least - 1,
                 [=](Moved& m, int n) { (m.limits.variety.*map)[key].at_least = least - n; },
                 [=](int n) { return said_at_least(least - n, what); }});
        if (!bounds.at_most) return;
        int most = *bounds.at_most;
        add({said_at_most(most, what), [=](Moved& m) { (m.limits.variety.*map)[key].at_most.reset(); },
             fmt::format("no greatest number of {}", plural(what)), 255,
             [=](Moved& m, int n) { (m.limits.variety.*map)[key].at_most = most + n; },
             [=](int n) { return said_at_most(most + n, what); }});
    }

    void add_others() {
        const auto& others = problem_.limits.others;
        for (std::size_t n = 0; n < others.size(); ++n) {
            const double most = others[n].shared_share_max;
            const auto words = [=, name = others[n].name](double part) {
                return fmt::format("at most {} of the shots shared with {}", percent(part), name);
            };
            // Dropped, it binds nothing; its place among the others stays.
            add({words(most), [=](Moved& m) { m.limits.others[n] = {}; },
                 fmt::format("as many shots of {} as you like", others[n].name), percents_above(most),
                 [=](Moved& m, int step) { m.limits.others[n].shared_share_max = percents_on(most, step); },
                 [=](int step) { return words(percents_on(most, step)); }});
        }
    }

    void add_musts() {
        const auto& takes = problem_.log.takes;
        for (std::size_t t = 0; t < takes.size(); ++t)
            if (takes[t].use == Use::must)
                add({said_must(takes[t].id), [=](Moved& m) { m.log.takes[t].use = Use::free; },
                     fmt::format("free take {} from 'must'", takes[t].id)});
    }

    void add_locks() {
        const auto& locks = problem_.limits.locks;
        for (std::size_t n = 0; n < locks.size(); ++n) {
            const Lock& lock = locks[n];
            std::vector<std::int64_t> frames;
            if (lock.record_in) frames = frames_for_lock(problem_, lock, 4);
            const auto at = [=](int step) {
                Lock moved = lock;
                moved.record_in = Frame{frames[static_cast<std::size_t>(step - 1)]};
                return moved;
            };
            add({said_lock(lock), [=](Moved& m) { m.limits.locks[n].shot.clear(); },
                 fmt::format("take the lock on {} away", lock.shot), static_cast<int>(frames.size()),
                 [=](Moved& m, int step) { m.limits.locks[n] = at(step); },
                 [=](int step) { return said_lock(at(step)); }, Movable::Steps::values});
        }
    }

    static std::string some_of(const std::string& what, const std::vector<std::string>& ids) {
        const bool few = ids.size() <= 4;
        return fmt::format("{}{} {}", what, ids.size() > 1 ? "s" : "",
                           few ? join(ids, ", ") : fmt::format("{}, ... ({} of them)", ids[0], ids.size()));
    }

    // All at once, as the takes below: which of them would do is seen when they are free.
    void add_bans() {
        const auto& bans = problem_.limits.bans;
        if (bans.empty()) return;
        const std::string which = some_of("contact", {bans.begin(), bans.end()});
        add({which + " not to be used again", [](Moved& m) { m.limits.bans.clear(); },
             fmt::format("let {} come back", which)});
    }

    void add_nevers() {
        std::vector<std::string> ids;
        for (const Take& take : problem_.log.takes)
            if (take.use == Use::never && take.kind != Kind::sound) ids.push_back(take.id);
        if (ids.empty()) return;
        const std::string which = some_of("take", ids);
        add({which + " never to be used",
             [](Moved& m) {
                 for (Take& take : m.log.takes)
                     if (take.use == Use::never) take.use = Use::free;
             },
             fmt::format("free {} from 'never'", which)});
    }

    void add_cut_on() {
        const CutOn now = problem_.limits.pacing.cut_on;
        if (now == CutOn::half_beat) return;
        const auto to = [](CutOn on) { return [=](Moved& m) { m.limits.pacing.cut_on = on; }; };
        const std::string halves = said_cut_on(CutOn::half_beat);
        if (now == CutOn::beat) return add({said_cut_on(now), to(CutOn::half_beat), halves});
        add({said_cut_on(now), to(CutOn::half_beat), halves, 1, [=](Moved& m, int) { to(CutOn::beat)(m); },
             [](int) { return said_cut_on(CutOn::beat); }});
    }

    void add_share(const std::string& what, double Variety::*share) {
        const double most = problem_.limits.variety.*share;
        if (most >= 1) return;
        const auto words = [=](double part) {
            return fmt::format("{} at most {} of the cut", what, percent(part));
        };
        add({words(most), [=](Moved& m) { m.limits.variety.*share = 1; },
             fmt::format("{} without a share", what), percents_above(most),
             [=](Moved& m, int n) { m.limits.variety.*share = percents_on(most, n); },
             [=](int n) { return words(percents_on(most, n)); }});
    }

    // From whole percent to whole percent.
    static double percents_on(double part, int n) { return (std::floor(part * 100 + 1e-9) + n) / 100; }
    static int percents_above(double part) {
        return std::max(0, 99 - static_cast<int>(std::floor(part * 100 + 1e-9)));
    }
    static std::string percent(double part) {
        const bool whole = std::abs(part * 100 - std::round(part * 100)) < 1e-6;
        return whole ? fmt::format("{:.0f} %", part * 100) : fmt::format("{:.1f} %", part * 100);
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

    // Towards `loosest` in steps of a hundredth of a second, as the words say it.
    using Besides = std::function<void(Pacing& moved, const Pacing& asked)>;
    void add_seconds(const std::string& what, double Pacing::*value, double loosest,
                     const Besides& besides = {}) {
        const double now = problem_.limits.pacing.*value;
        if (now == loosest) return;
        const bool up = loosest > now;
        const double from = up ? std::floor(now * 100 + 1e-9) : std::ceil(now * 100 - 1e-9);
        const int steps = static_cast<int>(std::ceil(std::abs(loosest * 100 - from) - 1e-9)) - 1;
        const auto at = [=](int n) { return (up ? from + n : from - n) / 100; };
        const auto set = [=, asked = problem_.limits.pacing](Moved& m, double to) {
            m.limits.pacing.*value = to;
            if (besides) besides(m.limits.pacing, asked);
        };
        add({said_seconds(what, now), [=](Moved& m) { set(m, loosest); }, said_seconds(what, loosest),
             std::clamp(steps, 0, 6000), [=](Moved& m, int n) { set(m, at(n)); },
             [=](int n) { return said_seconds(what, at(n)); }});
    }

    static std::string said_handles(int frames) {
        return fmt::format("handles of {} frame{}", frames, frames == 1 ? "" : "s");
    }
    // To three decimals only where they tell.
    static std::string said_seconds(const std::string& what, double seconds) {
        const bool short_form = std::abs(seconds * 100 - std::round(seconds * 100)) < 1e-6;
        return short_form ? fmt::format("{} {:.2f} s", what, seconds)
                          : fmt::format("{} {:.3f} s", what, seconds);
    }

    const Problem& problem_;
    std::vector<Movable> found_;
};

} // namespace

std::vector<Movable> movable_limits(const Problem& problem) {
    return Collector(problem).run();
}

std::vector<Movable> movable_length(const Problem& problem) {
    const double rest = std::max(0.0, problem.beats.duration_s - problem.song_start_s);
    const double length = std::min(problem.limits.delivery.length_s.value_or(rest), rest);
    const auto words = [](double seconds) { return fmt::format("length {:.2f} s", seconds); };
    std::vector<Movable> ways;
    for (const double sign : {-1.0, 1.0}) {
        // In tenths of a second.
        const double from = sign < 0 ? std::ceil(length * 10 - 1e-6) : std::floor(length * 10 + 1e-6);
        const double last = sign < 0 ? 1 : std::floor(rest * 10 + 1e-6);
        const int steps = std::max(0, static_cast<int>(sign * (last - from)));
        const auto at = [=](int n) { return (from + sign * n) / 10; };
        Movable way{words(length)};
        way.steps = steps;
        way.loosen = [=](Moved& m, int n) { m.limits.delivery.length_s = at(n); };
        way.loosened = [=](int n) { return words(at(n)); };
        way.kind = Movable::Steps::way;
        ways.push_back(way);
    }
    return ways;
}

Moved moved(const Problem& problem, std::span<const Movable> limits, std::span<const int> steps) {
    Moved moved{problem.limits, problem.log};
    for (std::size_t m = 0; m < limits.size(); ++m) {
        if (steps[m] == limit_dropped && limits[m].drop) limits[m].drop(moved);
        if (steps[m] > 0) limits[m].loosen(moved, steps[m]);
    }
    std::erase_if(moved.limits.locks, [](const Lock& lock) { return lock.shot.empty(); });
    return moved;
}

std::string said_at_least(int least, const std::string& shots) {
    return fmt::format("at least {} {}", least, least == 1 ? shots : plural(shots));
}

std::string said_at_most(int most, const std::string& shots) {
    return fmt::format("at most {} {}", most, most == 1 ? shots : plural(shots));
}

std::string said_must(const std::string& take) {
    return fmt::format("take {} must be used", take);
}

std::string said_lock(const Lock& lock) {
    std::string words = "lock on shot " + lock.shot;
    if (lock.record_in) words += fmt::format(" at record frame {}", lock.record_in->n);
    if (lock.source_in) words += fmt::format(" with source frame {}", lock.source_in->n);
    if (lock.held > 1) words += fmt::format(" with {} contacts held", lock.held);
    return words;
}

std::string said_cut_on(CutOn on) {
    const char* const name = on == CutOn::bar ? "bars" : on == CutOn::beat ? "beats" : "half beats";
    return fmt::format("shots without action cut on {}", name);
}

std::string shots_of_player(const std::string& player) {
    return "shot of player " + player;
}

std::string shots_with_skill(Skill skill) {
    return fmt::format("action shot of skill '{}'", to_string(skill));
}

std::string plural(const std::string& shots) {
    const auto at = shots.find("shot");
    return shots.substr(0, at) + "shots" + shots.substr(at + 4);
}

} // namespace downball::solve
