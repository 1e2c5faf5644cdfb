// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/solve_programme/rallies.h"

#include <array>

// What terms.h says, worked out again from its sentences: the points of a shot, of a cut between two, and of a whole.
// Where the sentences leave a choice open, it is the one that score() makes, found by comparing term by term:
// - spans are whole frames; wanted lengths use the median period and are kept between shortest and longest;
// - a border off by half a frame or more has sync 0; a section's own energy counts on its first beat;
// - the opening shot pays as after a cut: for a reaction of any moment, and for an action that begins a section;
// - costs of reaction do not add up: leaving a moment unanswered comes first; celebrations count as reactions there,
//   and only answers that may be used and are long enough to be shown are missed;
// - the order of play counts in `chronology` with replays too; sets that are not said differ from none;
// - takes without a shot that could be made of them show no players; wanted shots are at least one.
namespace downball::tests::programme {

enum Term {
    sync,
    accent,
    confidence,
    rating,
    rally,
    pace,
    keep,
    variety,
    reaction,
    spread,
    chronology,
    side,
    story,
    coverage,
    fresh,
    terms
};
using Points = std::array<double, terms>;

// What of a shot its neighbours feel: its take and, for actions, the contact it hangs on.
struct Play {
    std::size_t take = 0;
    std::optional<std::size_t> contact;
    Fraction speed{1};
    int held = 1; // contacts, from that one on
    bool slowed = false;
};

class Worth {
  public:
    explicit Worth(const Rules& rules) : r_(rules) {
        const Weights& w = rules.limits.weights;
        weight = {w.sync,     w.accent, w.confidence, w.rating, w.rally, w.pace,     w.keep, w.variety,
                  w.reaction, w.spread, w.chronology, w.side,   w.story, w.coverage, w.fresh};
        if (!rules.last) weight[keep] = 0;
        if (rules.limits.story.order == Order::free) weight[chronology] = 0;
        if (rules.limits.story.order != Order::story) weight[story] = 0;
        for (std::size_t t = 0; t < r_.log.takes.size(); ++t)
            if (is_answer(r_.log.takes[t]) && !r_.log.takes[t].moment.empty() && can_be_shown(t))
                answered_.insert(r_.log.takes[t].moment);
        for (const Section& section : r_.beats.sections)
            section_costs_[section.first] = (1 - section.energy) / 2;
    }
    Points weight{};

    double total(const Points& points) const {
        double sum = 0;
        for (std::size_t t = 0; t < terms; ++t)
            sum += weight[t] * points[t];
        return sum;
    }

    double wanted(const Slot& slot) const { // frames
        auto shortest = static_cast<double>(r_.shortest), longest = static_cast<double>(r_.longest);
        double in_beats = longest * std::pow(shortest / longest, slot.energy) / r_.period;
        return std::clamp(std::max(1.0, std::floor(in_beats + 0.5)) * r_.period, shortest, longest);
    }

    // `held`: all contacts of an action. Span in frames.
    Points shot(const Play& play, const Slot& slot, const std::vector<Held>& held, std::int64_t span) const {
        const Take& take = r_.log.takes[play.take];
        double frames = static_cast<double>(span), share = frames / static_cast<double>(r_.length);
        Points v{};
        double contacts = static_cast<double>(held.size());
        for (const Held& its : held) {
            const Impact& impact = take.impacts[its.contact];
            const Slot& here = r_.slots[its.slot];
            v[sync] += (1 - std::min(1.0, std::pow(its.error / 0.5, 2))) / contacts;
            v[accent] += (here.strength * impact.strength + (1 - here.strength) / 2) / contacts;
            v[confidence] += impact.confidence / contacts;
        }
        if (!play.contact) {
            v[sync] = 1 - std::min(1.0, std::pow((static_cast<double>(slot.frame) - slot.at) / 0.5, 2));
            v[accent] = slot.strength * 0.25 + (1 - slot.strength) / 2;
            v[confidence] = r_.limits.variety.confidence_floor;
        }
        v[rally] = (play.held - 1) / 3.0;
        v[rating] = (take.rating - 1) / 4.0;
        double m = slow(play) ? 1 - slot.energy : 0.5;
        v[pace] = 0.8 * std::max(0.0, 1 - std::abs(std::log2(frames / wanted(slot))) / 3) + 0.2 * m;
        v[keep] = kept(play, slot);
        for (double& value : v)
            value *= share;
        for (const Held& its : held)
            if (r_.slots[its.slot].beat == r_.beats.arrival)
                v[story] = take.impacts[its.contact].strength / 3;
        return v;
    }
    // How much of the last cut the shot keeps.
    double kept(const Play& play, const Slot& slot) const {
        const Take& take = r_.log.takes[play.take];
        double most = 0;
        for (std::size_t n = 0; r_.last && n < r_.last->shots.size(); ++n) {
            const LastCut::Shot& shot = r_.last->shots[n];
            const bool same = play.contact ? shot.action && shot.id == take.impacts[*play.contact].id
                                           : !shot.action && shot.take == take.id;
            if (!same) continue;
            const bool slowed = shot.speed.to_double() < r_.limits.rally.slowest - 1e-9;
            const bool as_fast = play.held == 1 ? shot.speed == play.speed : slowed == play.slowed;
            const bool there = std::abs(shot.at_s * r_.fps - slot.at) <= 0.5 && as_fast &&
                               shot.held == static_cast<std::size_t>(play.held);
            most = std::max(most, there ? 1.0 : 0.5);
        }
        return most;
    }
    bool slow(const Play& play) const {
        return play.slowed || play.speed < Fraction(1) || r_.conformed(play.take);
    }

    Points opening(const Play& play) const {
        Kind kind = r_.log.takes[play.take].kind;
        return only(story, (kind == Kind::establishing ? 1 : kind == Kind::cutaway ? 0.5 : 0) / 3);
    }
    Points ending(const Play& play) const {
        Kind kind = r_.log.takes[play.take].kind;
        return only(story, (kind == Kind::celebration ? 1 : kind == Kind::reaction ? 0.5 : 0) / 3);
    }

    // What a cut costs, c of terms.h, but for where it stands.
    Points cost(const Play& from, const Play& to) const {
        const Take &a = r_.log.takes[from.take], &b = r_.log.takes[to.take];
        Points c{};
        c[variety] = alike(from, to);
        c[reaction] = unanswered(from, to);
        if (!is_action(a) && !is_action(b)) c[spread] = 1;
        if (is_action(a) && is_action(b)) {
            if (a.set > 0 && b.set > 0 && a.set != b.set) c[spread] = 0.5;
            if (a.side != b.side && a.side != Side::unknown && b.side != Side::unknown && a.ends == b.ends)
                c[side] = 1;
        }
        c[chronology] = back_in_time(from, to) ? 1 : 0;
        return c;
    }
    // The beginning of the cut counts as a cut that nothing comes before.
    Points opening_cost(const Play& to) const {
        const Take& take = r_.log.takes[to.take];
        return only(reaction, is_answer(take) && !take.moment.empty() ? 1 : 0);
    }
    Points section_cost(const Play& to, const Slot& slot) const {
        auto at = slot.beat ? section_costs_.find(*slot.beat) : section_costs_.end();
        return only(spread, to.contact && at != section_costs_.end() ? at->second : 0);
    }
    double unit(const Slot& slot) const { return wanted(slot) / static_cast<double>(r_.length); }

    bool back_in_time(const Play& from, const Play& to) const {
        if (r_.day(to.take) < r_.day(from.take)) return true;
        return from.contact && to.contact && r_.played_before(to.take, *to.contact, from.take, *from.contact);
    }

    // Number of shots at the wanted lengths.
    double wanted_shots() const {
        double count = 0;
        for (std::size_t s = 0; s < r_.slots.size(); ++s) {
            std::int64_t next = s + 1 < r_.slots.size() ? r_.slots[s + 1].frame : r_.length;
            count += static_cast<double>(next - r_.slots[s].frame) / wanted(r_.slots[s]);
        }
        return std::max(1.0, count);
    }

    // Skills that a shot of an action counts for.
    std::set<Skill> skills(const Play& play) const {
        if (!play.contact) return {};
        const Take& take = r_.log.takes[play.take];
        std::set<Skill> all;
        for (std::size_t i : successive(r_, play.take, *play.contact, play.held)) {
            const Impact& impact = take.impacts[i];
            if (impact.skill)
                all.insert(*impact.skill);
            else
                all.insert(take.skills.begin(), take.skills.end());
            if (impact.with_block) all.insert(Skill::block);
        }
        return all;
    }
    std::set<std::string> players(const Play& play) const {
        const Take& take = r_.log.takes[play.take];
        return {take.players.begin(), take.players.end()};
    }

    double covered(std::size_t seen) const { // of the players and skills that usable takes can show
        std::size_t all = players_there().size() + skills_there().size();
        return all == 0 ? 0 : static_cast<double>(seen) / static_cast<double>(all);
    }
    std::set<std::string> players_there() const {
        std::set<std::string> all;
        for (std::size_t t = 0; t < r_.log.takes.size(); ++t)
            if (r_.may_be_used(t) && (!is_action(r_.log.takes[t]) || !r_.hooks(t).empty()))
                all.merge(players({t, {}, Fraction(1)}));
        return all;
    }
    std::set<Skill> skills_there() const {
        std::set<Skill> all;
        for (std::size_t t = 0; t < r_.log.takes.size(); ++t)
            for (std::size_t i : r_.may_be_used(t) ? r_.hooks(t) : std::vector<std::size_t>{})
                all.merge(skills({t, i, Fraction(1)}));
        return all;
    }

  private:
    static Points only(Term term, double value) {
        Points v{};
        v[term] = value;
        return v;
    }
    double alike(const Play& from, const Play& to) const {
        if (from.take == to.take) return 1;
        const Take &a = r_.log.takes[from.take], &b = r_.log.takes[to.take];
        double c = 0;
        for (const std::string& player : players(from))
            if (players(to).count(player)) c = 0.4;
        if (a.size != Size::unknown && a.angle != Angle::unknown && a.size == b.size && a.angle == b.angle)
            c += 0.4;
        if (!a.camera.empty() && a.camera == b.camera) c += 0.2;
        return c;
    }
    double unanswered(const Play& from, const Play& to) const {
        const Take &a = r_.log.takes[from.take], &b = r_.log.takes[to.take];
        bool same_moment = !a.moment.empty() && a.moment == b.moment;
        if (is_action(a) && !same_moment && answered_.count(a.moment)) return 1;
        if (!is_answer(b) || b.moment.empty()) return 0;
        if (!same_moment) return 1;
        if (is_answer(a)) return 0.5;
        if (!from.contact) return 1;
        auto skill = a.impacts[successive(r_, from.take, *from.contact, from.held).back()].skill;
        return skill && *skill != Skill::attack && *skill != Skill::block && *skill != Skill::dig ? 0.5 : 0;
    }
    bool can_be_shown(std::size_t t) const {
        return r_.may_be_used(t) && r_.room(t).length().n >= r_.least_length(t, false);
    }

    const Rules& r_;
    std::set<std::string> answered_;
    std::map<std::size_t, double> section_costs_; // by its first beat
};

} // namespace downball::tests::programme
