// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/source_count.h"
#include "downball/solve/solve.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

// What solve.h says of beats, takes and contacts, worked out again from its sentences and from nothing else.
// Record positions are frames from record start, source positions frames of SourceCount.
namespace downball::tests::programme {

inline constexpr double hair = 1e-6; // frames: positions as near as that are the same

inline std::int64_t up(double frames) {
    return static_cast<std::int64_t>(std::ceil(frames - hair));
}
inline std::int64_t down(double frames) {
    return static_cast<std::int64_t>(std::floor(frames + hair));
}
inline std::int64_t nearest(double frames) {
    return up(frames - 0.5);
} // ties to the earlier

inline bool is_action(const Take& take) {
    return take.kind == Kind::action;
}
inline bool is_answer(const Take& take) {
    return take.kind == Kind::reaction || take.kind == Kind::celebration;
}

inline bool is_cutaway(const Take& take) {
    return take.kind == Kind::cutaway || take.kind == Kind::establishing;
}

// A place where a shot may hang: exact and as a whole record frame. Nothing is struck on half beats, nor at the
// start of the cut if no beat lies there; the energy there is that of the beat before in the cut, or of the first one.
struct Slot {
    double at = 0;
    std::int64_t frame = 0;
    std::optional<std::size_t> beat;
    bool plain = true; // shots without action may begin here
    double strength = 0;
    double energy = 0;
};

class Rules {
  public:
    explicit Rules(const solve::Problem& problem)
        : beats(problem.beats), log(problem.log), limits(problem.limits), last(problem.last),
          start_s(problem.song_start_s), fps(problem.limits.delivery.rate.per_second()) {
        double rest = beats.duration_s - start_s;
        length = down(std::min(limits.delivery.length_s.value_or(rest), rest) * fps);
        const Pacing& pacing = limits.pacing;
        shortest = up(pacing.shortest_s * fps);
        longest = down(pacing.longest_s * fps);
        tail = std::max<std::int64_t>(1, up(pacing.tail_s * fps)); // the beat lies inside the shot
        lead_min = nearest(pacing.lead_in_min_s * fps);
        lead_max = nearest(pacing.lead_in_max_s * fps);
        make_slots();
        for (std::size_t t = 0; t < log.takes.size(); ++t)
            if (!log.takes[t].moment.empty()) moments[log.takes[t].moment].push_back(t);
    }

    const BeatGrid& beats;
    const ShotLog& log;
    const Limits& limits;
    const LastCut* last;
    double start_s, fps;
    std::int64_t length = 0, shortest = 0, longest = 0, tail = 0, lead_min = 0, lead_max = 0;
    std::vector<Slot> slots; // inside the cut, in order; the first at frame 0
    double period = 0;       // frames from beat to beat: the median of those in the cut
    std::map<std::string, std::vector<std::size_t>> moments;

    bool may_be_used(std::size_t t) const {
        return log.takes[t].use != Use::never && log.takes[t].kind != Kind::sound;
    }
    bool usable(const Impact& impact) const { return impact.confidence >= limits.variety.confidence_floor; }
    bool conformed(std::size_t t) const {
        const Take& take = log.takes[t];
        return take.capture_fps && log.media[take.media].rate &&
               *take.capture_fps > 1.05 * log.media[take.media].rate->per_second();
    }

    std::int64_t least_length(std::size_t t, bool slow) const {
        double wanted_s = limits.pacing.shortest_s;
        if (!is_action(log.takes[t])) wanted_s = std::max(wanted_s, limits.pacing.shortest_cutaway_s);
        if (slow || conformed(t)) wanted_s = std::max(wanted_s, limits.pacing.shortest_slow_s);
        return std::max(shortest, std::min(up(wanted_s * fps), longest));
    }
    std::int64_t most_lead(Fraction speed) const {
        return std::max(lead_max, lead_min + ceil(Fraction(1) / speed) - 1);
    }
    std::vector<Fraction> speeds(std::size_t t) const {
        std::vector<Fraction> all{Fraction(1)};
        const auto& rate = log.media[log.takes[t].media].rate;
        if (!is_action(log.takes[t]) || !rate || rate->per_second() < 1.9 * fps - hair) return all;
        Fraction once = limits.delivery.rate.value() / rate->value();
        if (std::round(once.to_double() * 1000) >= std::round(limits.variety.slowest * 1000))
            all.push_back(once);
        return all;
    }

    SourceCount count(std::size_t t) const {
        return count_source(log.media[log.takes[t].media], limits.delivery.rate);
    }
    double contact_at(std::size_t t, std::size_t impact) const {
        return count(t).position(log.takes[t].impacts[impact].picture_s);
    }
    FrameRange room(std::size_t t) const { // in the take, less the handles
        const Take& take = log.takes[t];
        double out_s = std::min(take.out_s, log.media[take.media].duration_s);
        Frame handles{limits.pacing.handle_frames};
        return {Frame{up(count(t).position(take.in_s))} + handles,
                Frame{down(count(t).position(out_s))} - handles};
    }
    std::vector<std::size_t> hooks(std::size_t t) const { // contacts that a shot of an action may hang on
        auto all = is_action(log.takes[t]) ? shown(t, room(t)) : std::vector<std::size_t>{};
        std::erase_if(all, [&](std::size_t i) { return limits.bans.contains(log.takes[t].impacts[i].id); });
        return all;
    }
    std::vector<std::size_t> shown(std::size_t t,
                                   FrameRange source) const { // usable contacts in a source range
        std::vector<std::size_t> all;
        for (std::size_t i = 0; i < log.takes[t].impacts.size(); ++i) {
            double at = contact_at(t, i);
            if (usable(log.takes[t].impacts[i]) && at > static_cast<double>(source.in.n) - hair &&
                at < static_cast<double>(source.out.n) - hair)
                all.push_back(i);
        }
        return all;
    }

    // By its number in the rally, where all usable contacts of the moment have one; else the n-th of its skill within
    // the take.
    std::pair<Skill, int> name_of(std::size_t t, std::size_t impact) const {
        const auto& impacts = log.takes[t].impacts;
        if (all_numbered(log.takes[t].moment)) return {Skill{}, *impacts[impact].event};
        int n = 0;
        for (std::size_t i = 0; i < impact; ++i)
            n += impacts[i].skill == impacts[impact].skill ? 1 : 0;
        return {*impacts[impact].skill, n};
    }
    template <class Told>
    bool all_of(const std::string& moment, Told told) const {
        for (std::size_t t : moments.at(moment))
            for (const Impact& impact : log.takes[t].impacts)
                if (may_be_used(t) && usable(impact) && !told(impact)) return false;
        return true;
    }
    bool all_numbered(const std::string& moment) const {
        return all_of(moment, [](const Impact& impact) { return impact.event.has_value(); });
    }
    bool all_known(const std::string& moment) const {
        return all_numbered(moment) ||
               all_of(moment, [](const Impact& impact) { return impact.skill.has_value(); });
    }

    // Place in the day.
    int day(std::size_t t) const {
        int first = log.takes[t].order;
        if (!log.takes[t].moment.empty())
            for (std::size_t other : moments.at(log.takes[t].moment))
                if (may_be_used(other)) first = std::min(first, log.takes[other].order);
        return first;
    }

    // Is contact i of take t played before contact j of take u, both of one moment? Not known = no.
    bool played_before(std::size_t t, std::size_t i, std::size_t u, std::size_t j) const {
        const std::string& moment = log.takes[t].moment;
        if (t == u) return log.takes[t].impacts[i].picture_s < log.takes[t].impacts[j].picture_s;
        if (moment.empty() || moment != log.takes[u].moment || !all_known(moment)) return false;
        if (all_numbered(moment)) return *log.takes[t].impacts[i].event < *log.takes[u].impacts[j].event;
        std::map<std::pair<Skill, int>, std::size_t> place = places(fullest(moment));
        auto a = place.find(name_of(t, i)), b = place.find(name_of(u, j));
        return a != place.end() && b != place.end() && a->second < b->second;
    }

  private:
    void make_slots() {
        bool bars = limits.pacing.cut_on == CutOn::bar &&
                    std::any_of(beats.beats.begin(), beats.beats.end(),
                                [](const Beat& beat) { return beat.position == 1; });
        std::vector<Slot> all;
        std::vector<double> periods;
        for (std::size_t b = 0; b < beats.beats.size(); ++b) {
            const Beat& beat = beats.beats[b];
            double at = (beat.seconds - start_s) * fps;
            all.push_back({at, nearest(at), b, !bars || beat.position == 1, beat.strength, beat.energy});
            if (b + 1 == beats.beats.size()) continue;
            double next = (beats.beats[b + 1].seconds - start_s) * fps, half = (at + next) / 2;
            if (limits.pacing.cut_on == CutOn::half_beat)
                all.push_back({half, nearest(half), {}, true, 0, beat.energy});
            if (nearest(at) >= 0 && nearest(next) < length) periods.push_back(next - at);
        }
        std::erase_if(all, [&](const Slot& slot) { return slot.frame < 0 || slot.frame >= length; });
        auto first =
            std::find_if(all.begin(), all.end(), [](const Slot& slot) { return slot.beat.has_value(); });
        double energy = first == all.end() ? 0 : first->energy;
        for (auto half = all.begin(); half != first; ++half)
            half->energy = energy;
        if (all.empty() || all.front().frame > 0) slots.push_back({0, 0, {}, true, 0, energy});
        slots.insert(slots.end(), all.begin(), all.end());
        slots.front().plain = true; // the first shot begins here, whatever it is
        auto middle = periods.begin() + static_cast<std::ptrdiff_t>(periods.size() / 2);
        std::nth_element(periods.begin(), middle, periods.end());
        period = periods.empty() ? fps / 2 : *middle;
    }
    std::size_t fullest(const std::string& moment) const {
        std::size_t best = moments.at(moment).front();
        std::ptrdiff_t most = -1;
        for (std::size_t t : moments.at(moment)) {
            if (!may_be_used(t)) continue;
            auto count = std::count_if(log.takes[t].impacts.begin(), log.takes[t].impacts.end(),
                                       [&](const Impact& impact) { return usable(impact); });
            if (count > most) {
                most = count;
                best = t;
            }
        }
        return best;
    }
    std::map<std::pair<Skill, int>, std::size_t> places(std::size_t t) const {
        std::map<std::pair<Skill, int>, std::size_t> all;
        for (std::size_t i = 0; i < log.takes[t].impacts.size(); ++i)
            if (usable(log.takes[t].impacts[i])) all.emplace(name_of(t, i), i);
        return all;
    }
};

} // namespace downball::tests::programme
