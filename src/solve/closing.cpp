// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/closing.h"

#include <algorithm>
#include <cmath>

namespace downball::solve {

Closing::Answer Closing::run(const std::vector<double>& prices, std::optional<double> known, double work,
                             bool any) {
    prices_ = prices;
    answer_ = {};
    if (!relaxation_.solve(prices).possible) {
        answer_.final = true;
        return answer_;
    }
    offset_ = relaxation_.offset(prices);
    best_ = known.value_or(-std::numeric_limits<double>::infinity());
    left_ = work;
    any_ = any;
    stop_ = unsure_ = false;
    suffix_.clear();
    list_arcs();
    descend(setting_.grid.slots.size(), false, offset_);
    answer_.final = !stop_ && !unsure_;
    return answer_;
}

void Closing::list_arcs() {
    std::size_t n = setting_.grid.slots.size();
    into_.assign((n + 1) * 2, {});
    for (std::size_t s = 0; s < n; ++s)
        for (bool action : {false, true})
            for (bool first : {false, true})
                for (const Arc& arc : arcs_.of(s, action, first))
                    into_[arc.to * 2 + (arc.to_action ? 1 : 0)].push_back({&arc, s, action, first});
}

// The suffix begins at slot `at`; `value` bounds what it brings, with the offset.
void Closing::descend(std::size_t at, bool action, double value) {
    std::vector<Choice> choices;
    const auto& plays = setting_.stock.plays;
    for (const Before& before : into_[at * 2 + (action ? 1 : 0)]) {
        for (std::size_t p = 0; p < plays.size(); ++p) {
            left_ -= 1;
            if ((plays[p].impact >= 0) != before.action || qualities_.at(p, before.slot) < 0) continue;
            double bound = value + relaxation_.reach(before.slot, plays[p].clip, before.first) +
                           relaxation_.worth(p, before.slot, *before.arc);
            if (!suffix_.empty()) {
                const Slot& next = setting_.grid.slots[at];
                bound -= next.unit * pair_cost(setting_, p, suffix_.back().play);
            }
            if (bound > bar()) choices.push_back({bound, &before, p});
        }
        if (left_ < 0) {
            stop_ = true;
            return;
        }
    }
    std::stable_sort(choices.begin(), choices.end(),
                     [](const Choice& a, const Choice& b) { return a.bound > b.bound; });
    std::int64_t out = suffix_.empty() ? setting_.grid.length : suffix_.back().in;
    for (const Choice& choice : choices) {
        if (stop_ || choice.bound <= bar()) return;
        double cost = 0;
        if (!suffix_.empty())
            cost = setting_.grid.slots[at].unit * pair_cost(setting_, choice.play, suffix_.back().play);
        place(choice, out, value - cost);
    }
}

bool Closing::allowed(const Piece& piece) const {
    const auto& plays = setting_.stock.plays;
    bool plain = plays[piece.play].impact < 0;
    for (const Piece& later : suffix_) {
        if (!plain && plays[later.play].impact >= 0 && overlap(setting_, piece, later)) return false;
        if (contradict(setting_, piece, later)) return false;
    }
    return std::none_of(pins_.begin(), pins_.end(), [&](const Pin& pin) {
        return pin.record_in && piece.in < *pin.record_in && *pin.record_in < piece.out;
    });
}

double Closing::priced_value(const Piece& piece, const Arc& arc) const {
    const Play& play = setting_.stock.plays[piece.play];
    const Slot& slot = setting_.grid.slots[piece.slot];
    double error = play.impact >= 0 ? piece.error : border_error(slot);
    double value = arc.share * quality(setting_, play, slot, error) +
                   (play.slow ? arc.pace_slow : arc.pace_real) +
                   setting_.weight[term::story] * arrival_value(setting_, play, piece.slot) -
                   relaxation_.use_price(piece.play) -
                   steps_.passed_price(prices_, piece.play, piece.out - slot.frame - piece.span);
    if (arc.to == setting_.grid.slots.size())
        value += setting_.weight[term::story] * ending_value(setting_, setting_.clip_of(play));
    for (std::size_t r : rows_.length_of[piece.play])
        value -= prices_[r] * rows_.rows[r].use * static_cast<double>(piece.out - piece.in);
    return value;
}

void Closing::place(const Choice& choice, std::int64_t out, double value) {
    const Before& before = *choice.before;
    const Slot& slot = setting_.grid.slots[before.slot];
    const Play& play = setting_.stock.plays[choice.play];
    const Clip& clip = setting_.clip_of(play);
    std::vector<Placement> places;
    if (play.impact < 0)
        places.push_back({slot.frame, clip.first, 0});
    else
        places = placements(setting_.grid, clip, play, slot);
    for (const Placement& its : places) {
        if (stop_) return;
        left_ -= 20; // about what a placement costs, in steps
        if (before.first && its.record_in != 0) continue;
        Piece piece{choice.play, before.slot};
        piece.stand(its);
        piece.out = out;
        if (!fits(setting_, piece) || !allowed(piece)) continue;
        double reached = value + priced_value(piece, *before.arc);
        double start = relaxation_.reach(before.slot, play.clip, before.first);
        if (reached + start <= bar()) continue;
        suffix_.push_back(piece);
        if (before.first)
            complete();
        else {
            // Its own slot cost is part of what is reached; the pair costs come with the shot before.
            double slot_part = slot.unit * slot_cost(setting_, clip, slot);
            descend(before.slot, before.action, reached - slot_part);
        }
        suffix_.pop_back();
    }
}

// Sources for the shots without contact: the middle of the take, or, packed, as far to the front as possible.
bool Closing::give_sources(Cut& cut, bool packed) const {
    Cut placed;
    for (const Piece& piece : cut)
        if (setting_.stock.plays[piece.play].impact >= 0) placed.push_back(piece);
    for (Piece& piece : cut) {
        const Play& play = setting_.stock.plays[piece.play];
        if (play.impact >= 0) continue;
        auto source = free_source(setting_, piece.play, piece.out - piece.in, placed, !packed);
        for (const Pin& pin : pins_)
            if (pin.ordinal > 0 && pin.clip == play.clip && pin.source_in &&
                (!pin.record_in || *pin.record_in == piece.in))
                source = *pin.source_in;
        if (!source) return false;
        piece.source_in = *source;
        placed.push_back(piece);
    }
    return true;
}

// The suffix is a whole cut. Its score does not depend on sources, so it is asked first, being cheapest.
void Closing::complete() {
    Cut cut(suffix_.rbegin(), suffix_.rend());
    left_ -= 10.0 * static_cast<double>(cut.size());
    double score = cut_score(setting_, cut);
    if (score <= bar()) return;
    for (bool packed : {false, true}) {
        left_ -= static_cast<double>(cut.size() * cut.size());
        if (!give_sources(cut, packed)) {
            // Another packing might exist; then this search is no proof.
            if (packed) unsure_ = true;
            continue;
        }
        if (!constructor_.keeps_all(cut)) {
            // With its source given, another shot of the take might stand elsewhere.
            if (packed && std::any_of(pins_.begin(), pins_.end(), [](const Pin& p) { return p.source_in; }))
                unsure_ = true;
            continue;
        }
        best_ = score;
        answer_.score = score;
        answer_.cut = std::move(cut);
        if (any_) stop_ = true;
        return;
    }
}

} // namespace downball::solve
