// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/solve_programme/worth.h"

namespace downball::tests::programme {

// The slot on whose frame a shot without action begins, or the one before it.
inline const Slot& slot_under(const Rules& rules, std::int64_t frame) {
    const Slot* found = &rules.slots.front();
    for (const Slot& slot : rules.slots)
        if (slot.plain && slot.frame <= frame) found = &slot;
    return *found;
}

inline const Slot& slot_of_beat(const Rules& rules, std::size_t beat) {
    return *std::find_if(rules.slots.begin(), rules.slots.end(),
                         [&](const Slot& slot) { return slot.beat == beat; });
}

// The values of all terms of a cut that is given, by the sentences of terms.h.
inline Points values_of(const solve::Problem& problem, const CutPlan& plan) {
    Rules rules(problem);
    Worth worth(rules);
    std::vector<Play> plays;
    std::vector<const Slot*> slots;
    std::vector<std::vector<Held>> held;
    for (const PlannedShot& shot : plan.shots) {
        Play play{shot.take, {}, shot.speed};
        if (!shot.anchors.empty()) play.contact = shot.anchors.front().impact;
        if (!shot.stretches.empty()) {
            play.held = static_cast<int>(shot.anchors.size());
            play.slowed = shot.speed.to_double() < rules.limits.rally.slowest - 1e-9;
            play.speed = Fraction(1);
        }
        std::vector<Held> all;
        for (std::size_t n = 0; n < shot.anchors.size() && n < static_cast<std::size_t>(play.held); ++n) {
            const Anchor& anchor = shot.anchors[n];
            auto slot = static_cast<std::size_t>(&slot_of_beat(rules, anchor.beat) - rules.slots.data());
            all.push_back({anchor.impact, slot, 0, anchor.error_s * rules.fps});
        }
        held.push_back(all);
        plays.push_back(play);
        slots.push_back(play.contact ? &slot_of_beat(rules, shot.anchors.front().beat)
                                     : &slot_under(rules, shot.record.in.n));
    }
    Points sum{};
    auto add = [&](const Points& points, double times) {
        for (std::size_t t = 0; t < terms; ++t)
            sum[t] += times * points[t];
    };
    std::set<std::size_t> takes;
    std::set<std::string> players;
    std::set<Skill> skills;
    for (std::size_t n = 0; n < plays.size(); ++n) {
        std::int64_t from = n == 0 ? 0 : slots[n]->frame;
        std::int64_t to = n + 1 == plays.size() ? rules.length : slots[n + 1]->frame;
        add(worth.shot(plays[n], *slots[n], held[n], to - from), 1);
        takes.insert(plays[n].take);
        players.merge(worth.players(plays[n]));
        skills.merge(worth.skills(plays[n]));
        add(n == 0 ? worth.opening_cost(plays[n]) : worth.cost(plays[n - 1], plays[n]),
            -worth.unit(*slots[n]));
        add(worth.section_cost(plays[n], *slots[n]), -worth.unit(*slots[n]));
    }
    for (Term term : {variety, reaction, spread, chronology, side})
        sum[term] += 1;
    add(worth.opening(plays.front()), 1);
    add(worth.ending(plays.back()), 1);
    sum[coverage] = worth.covered(players.size() + skills.size());
    sum[fresh] = 1 - static_cast<double>(plays.size() - takes.size()) / worth.wanted_shots();
    return sum;
}

} // namespace downball::tests::programme
