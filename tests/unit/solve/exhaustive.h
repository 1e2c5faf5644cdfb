// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "unit/solve/random_job.h"

#include "downball/solve/terms.h"

#include <cmath>
#include <map>
#include <optional>
#include <set>

namespace downball::tests {

// Every cut there is, one by one: shots are put end to end on all borders that a shot could begin on, the
// judge throws out what breaks a limit, the score picks the best. Shares nothing with the solver but check()
// and score(). For jobs of a few beats only.
class Exhaustive {
  public:
    explicit Exhaustive(const Job& job) : job_(job), fps_(job.limits.delivery.rate.per_second()) {
        length_ = static_cast<std::int64_t>(std::floor(*job.limits.delivery.length_s * fps_ + 1e-6));
        least_ = std::llround(job.limits.pacing.lead_in_min_s * fps_);
        most_ = std::llround(job.limits.pacing.lead_in_max_s * fps_);
        for (std::size_t b = 0; b < job.beats.beats.size(); ++b) {
            std::int64_t at = frame_of(b);
            borders_.insert(at);
            beats_.insert(at);
            for (std::int64_t lead = least_; lead <= most_ + 4; ++lead)
                borders_.insert(at - lead);
        }
        borders_.insert(length_);
        plan_.length = Frame{length_};
        plan_.song_start_s = job.song_start_s;
        grow(0);
    }
    std::optional<double> best;
    CutPlan best_plan;
    long judged = 0;

  private:
    double instant(std::size_t b) const { return (job_.beats.beats[b].seconds - job_.song_start_s) * fps_; }
    std::int64_t frame_of(std::size_t b) const {
        return static_cast<std::int64_t>(std::ceil(instant(b) - 0.5 - 1e-6));
    }

    void grow(std::int64_t at) {
        if (at == length_) {
            ++judged;
            if (!solve::check(job_.problem(), plan_).empty()) return;
            double score = solve::score(job_.problem(), plan_).score;
            if (!best || score > *best) {
                best = score;
                best_plan = plan_;
            }
            return;
        }
        auto shortest = static_cast<std::int64_t>(std::ceil(job_.limits.pacing.shortest_s * fps_ - 1e-6));
        auto longest = static_cast<std::int64_t>(std::floor(job_.limits.pacing.longest_s * fps_ + 1e-6));
        for (auto out = borders_.lower_bound(at + shortest); out != borders_.end() && *out <= at + longest;
             ++out)
            for (std::size_t t = 0; t < job_.log.takes.size(); ++t) {
                if (job_.log.takes[t].kind == Kind::action) {
                    actions(at, *out, t);
                    std::vector<Held> none;
                    rallies(at, *out, t, none);
                } else
                    plain(at, *out, t);
            }
    }

    void place(PlannedShot shot) {
        std::int64_t out = shot.record.out.n;
        plan_.shots.push_back(std::move(shot));
        grow(out);
        plan_.shots.pop_back();
    }

    void actions(std::int64_t at, std::int64_t out, std::size_t t) {
        const Take& take = job_.log.takes[t];
        std::vector<Fraction> speeds{Fraction(1)};
        Fraction once = job_.limits.delivery.rate.value() / job_.log.media[take.media].rate->value();
        if (once < Fraction(1)) speeds.push_back(once);
        for (std::size_t i = 0; i < take.impacts.size(); ++i)
            for (std::size_t b = 0; b < job_.beats.beats.size(); ++b) {
                std::int64_t lead = frame_of(b) - at;
                if (lead < least_ || (lead > most_ + 4 && at > 0) || frame_of(b) >= out) continue;
                for (Fraction speed : speeds) {
                    double contact = take.impacts[i].picture_s * fps_;
                    double wished = contact - (instant(b) - static_cast<double>(at)) * speed.to_double();
                    for (std::int64_t source :
                         {std::llround(wished) - 1, std::llround(wished), std::llround(wished) + 1}) {
                        double error = (contact - static_cast<double>(source)) / speed.to_double() +
                                       static_cast<double>(at) - instant(b);
                        if (std::abs(error) > 0.5 + 1e-6) continue;
                        PlannedShot shot;
                        shot.id = take.impacts[i].id;
                        shot.take = t;
                        shot.record = {Frame{at}, Frame{out}};
                        shot.source_in = Frame{source};
                        shot.speed = speed;
                        shot.anchors = {{i, b, error / fps_}};
                        place(shot);
                    }
                }
            }
    }

    // A rally on the beat: contact i on beat b, then all ways for the next contacts; the judge knows which are allowed.
    struct Held {
        std::size_t impact, beat;
        std::int64_t source;
    };
    void rallies(std::int64_t at, std::int64_t out, std::size_t t, std::vector<Held>& held) {
        const Take& take = job_.log.takes[t];
        if (held.size() > 1) rally(at, out, t, held);
        if (held.size() == 4) return;
        for (std::size_t i = held.empty() ? 0 : held.back().impact + 1; i < take.impacts.size(); ++i)
            for (std::size_t b = held.empty() ? 0 : held.back().beat + 1; b < job_.beats.beats.size(); ++b) {
                if (frame_of(b) >= out || frame_of(b) < at) continue;
                double off = instant(b) - static_cast<double>(frame_of(b));
                held.push_back(
                    {i, b, std::llround(std::floor(take.impacts[i].picture_s * fps_ - off + 0.5 + 1e-6))});
                rallies(at, out, t, held);
                held.pop_back();
            }
    }
    void rally(std::int64_t at, std::int64_t out, std::size_t t, const std::vector<Held>& held) {
        PlannedShot shot;
        shot.id = job_.log.takes[t].impacts[held.front().impact].id;
        shot.take = t;
        shot.record = {Frame{at}, Frame{out}};
        shot.source_in = Frame{held.front().source - (frame_of(held.front().beat) - at)};
        std::int64_t record = at, source = shot.source_in.n;
        auto go_on = [&](std::int64_t to, std::int64_t from) {
            if (to == record) return true;
            if (from <= source) return false;
            shot.stretches.push_back({{Frame{record}, Frame{to}}, {Frame{source}, Frame{from}}});
            shot.speed = std::min(shot.speed, Fraction(from - source, to - record));
            record = to;
            source = from;
            return true;
        };
        for (const Held& its : held)
            if (!go_on(frame_of(its.beat), its.source)) return;
        go_on(out, source + out - record);
        for (const Held& its : held) {
            double contact = job_.log.takes[t].impacts[its.impact].picture_s * fps_;
            for (const Stretch& stretch : shot.stretches)
                if (contact < static_cast<double>(stretch.source.out.n) ||
                    &stretch == &shot.stretches.back()) {
                    double speed = static_cast<double>(stretch.source.length().n) /
                                   static_cast<double>(stretch.record.length().n);
                    double shown = static_cast<double>(stretch.record.in.n) +
                                   (contact - static_cast<double>(stretch.source.in.n)) / speed;
                    shot.anchors.push_back({its.impact, its.beat, (shown - instant(its.beat)) / fps_});
                    break;
                }
        }
        place(shot);
    }

    // Uses of one take are packed from its front: wherever they fit at all, they fit so.
    void plain(std::int64_t at, std::int64_t out, std::size_t t) {
        if (at > 0 && !beats_.count(at)) return;
        const Take& take = job_.log.takes[t];
        auto from = static_cast<std::int64_t>(std::ceil(take.in_s * fps_ - 1e-6));
        int ordinal = 1;
        for (const PlannedShot& before : plan_.shots)
            if (before.take == t) {
                ++ordinal;
                from += before.record.length().n;
            }
        PlannedShot shot;
        shot.id = fmt::format("{}@{}", take.id, ordinal);
        shot.take = t;
        shot.record = {Frame{at}, Frame{out}};
        shot.source_in = Frame{from};
        place(shot);
    }

    const Job& job_;
    double fps_;
    std::int64_t length_ = 0, least_ = 0, most_ = 0;
    std::set<std::int64_t> borders_, beats_;
    CutPlan plan_;
};

// A job small enough for that: three to five beats, two leads, a handful of takes, random limits and weights.
inline Job tiny_job(std::uint64_t seed) {
    Dice dice(seed * 7919 + 11);
    JobSize size{dice.whole(2, 4), dice.real(1.4, 2.1), dice.real(100, 150), Rate(25), 1.5, 0.35, 3};
    Job job = make_job(seed, size);
    Pacing& pacing = job.limits.pacing;
    pacing.shortest_s = dice.real(0.3, 0.5);
    pacing.longest_s = dice.real(1.0, 2.0);
    pacing.lead_in_min_s = 0.12;
    pacing.lead_in_max_s = dice.chance(0.5) ? 0.12 : 0.16;
    pacing.tail_s = dice.real(0, 0.3);
    pacing.tail_max_s = dice.real(0.2, 1.0);
    pacing.shortest_cutaway_s = dice.real(0, 0.8);
    pacing.shortest_slow_s = dice.real(0, 1.0);
    job.limits.delivery.length_s = size.length_s;
    Variety& variety = job.limits.variety;
    variety.cutaway_share_max = dice.chance(0.5) ? 1 : 0.6;
    variety.reaction_share_max = dice.chance(0.5) ? 1 : 0.5;
    variety.slow_motion_share_max = dice.chance(0.5) ? 1 : 0.4;
    variety.replays = dice.chance(0.3);
    if (dice.chance(0.2)) variety.players["A1"].at_least = 1;
    if (dice.chance(0.2)) variety.players["B1"].at_most = 1;
    if (dice.chance(0.2)) variety.skills[Skill::attack].at_least = 1;
    Weights& w = job.limits.weights;
    for (double* weight : {&w.sync, &w.accent, &w.confidence, &w.rating, &w.pace, &w.variety, &w.reaction,
                           &w.spread, &w.chronology, &w.side, &w.story, &w.coverage, &w.fresh, &w.keep})
        *weight = dice.chance(0.2) ? 0 : dice.real(0, 1.5);
    job.limits.story.order = static_cast<Order>(dice.whole(0, 2));
    // A cut can only open on an action whose beat lies within the lead-in, so most jobs need a free shot.
    job.log.takes[0].kind = Kind::establishing;
    job.log.takes[0].impacts.clear();
    job.log.takes[0].skills.clear();
    job.log.takes[0].out_s = job.log.media[0].duration_s = 3;
    if (dice.chance(0.15)) job.log.takes.back().use = Use::must;
    return job;
}

} // namespace downball::tests
