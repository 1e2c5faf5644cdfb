// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/relaxation.h"

#include <algorithm>
#include <cmath>

namespace downball::solve {
namespace {

constexpr std::uint32_t none = ~0U;

} // namespace

void Relaxation::let_in(std::vector<std::vector<std::uint32_t>> plays) {
    let_in_ = std::move(plays);
    plays_.clear();
    for (const auto& list : let_in_)
        plays_.insert(plays_.end(), list.begin(), list.end());
    std::sort(plays_.begin(), plays_.end());
    plays_.erase(std::unique(plays_.begin(), plays_.end()), plays_.end());
    visits_.clear();
    hops_.clear();
    opening_.clear();
    action_.clear();
    plain_.clear();
    std::vector<std::size_t> gates; // by hop
    auto here = [&] { return static_cast<std::uint32_t>(visits_.size()); };
    for (std::size_t slot = 0; slot < let_in_.size(); ++slot) {
        opening_.push_back(here());
        add_visits(slot, true, true, gates);
        add_visits(slot, false, true, gates);
        action_.push_back(here());
        add_visits(slot, true, false, gates);
        plain_.push_back(here());
        add_visits(slot, false, false, gates);
    }
    opening_.push_back(here());
    number_entries(gates);
    list_kin();
    std::vector<std::uint32_t> clips;
    for (const Visit& visit : visits_)
        clips.push_back(visit.clip);
    into_.reset();
    out_of_.reset();
    if (visits_.empty()) return;
    into_.emplace(setting_, clips, true);
    out_of_.emplace(setting_, entry_clip_, false);
    reach_.assign(visits_.size() + 4, nowhere);
    came_.assign(visits_.size() + 4, 0);
    which_.assign(std::max(visits_.size(), entry_clip_.size()) + 8, 0);
}

void Relaxation::add_visits(std::size_t slot, bool action, bool first, std::vector<std::size_t>& gates) {
    const auto& arcs = arcs_.of(slot, action, first);
    if (arcs.empty()) return;
    for (std::uint32_t p : let_in_[slot]) {
        const Play& play = setting_.stock.plays[p];
        if ((play.impact >= 0) != action) continue;
        auto clip = static_cast<std::uint32_t>(play.clip);
        auto end = static_cast<std::uint32_t>(hops_.size());
        bool same = !visits_.empty() && visits_.back().slot == slot && visits_.back().clip == clip &&
                    visits_.back().first == first && visits_.back().to == end;
        for (const Arc& arc : arcs) {
            auto need = steps_.need(p, slot, arc);
            if (!need) continue;
            if (!same) visits_.push_back({static_cast<std::uint32_t>(slot), clip, action, first, end, end});
            same = true;
            Hop hop{};
            hop.gain = steps_.gain(p, slot, arc);
            hop.length = static_cast<double>(steps_.shortest_length(play, *need));
            hop.play = p;
            hop.passed = static_cast<std::uint32_t>(steps_.passed(p, slot, *need));
            hop.entry = clip;
            hops_.push_back(hop);
            gates.push_back(gate(arc.to, arc.to_action));
            visits_.back().to = static_cast<std::uint32_t>(hops_.size());
        }
    }
}

void Relaxation::number_entries(const std::vector<std::size_t>& gates) {
    std::vector<std::vector<std::uint32_t>> clips(2 * (let_in_.size() + 1));
    for (std::size_t h = 0; h < hops_.size(); ++h)
        clips[gates[h]].push_back(hops_[h].entry);
    first_entry_.assign(1, 0);
    entry_clip_.clear();
    for (auto& list : clips) {
        std::sort(list.begin(), list.end());
        list.erase(std::unique(list.begin(), list.end()), list.end());
        entry_clip_.insert(entry_clip_.end(), list.begin(), list.end());
        first_entry_.push_back(static_cast<std::uint32_t>(entry_clip_.size()));
    }
    for (std::size_t h = 0; h < hops_.size(); ++h) {
        const auto& list = clips[gates[h]];
        auto at = std::lower_bound(list.begin(), list.end(), hops_[h].entry) - list.begin();
        hops_[h].entry = first_entry_[gates[h]] + static_cast<std::uint32_t>(at);
    }
}

void Relaxation::list_kin() {
    kin_.clear();
    for (Visit& visit : visits_) {
        visit.kin_from = visit.kin_to = static_cast<std::uint32_t>(kin_.size());
        if (visit.first) continue;
        auto begin = entry_clip_.begin() + first_entry_[gate(visit.slot, visit.action)];
        auto end = entry_clip_.begin() + first_entry_[gate(visit.slot, visit.action) + 1];
        for (const auto& [mate, its] : setting_.mates[visit.clip]) {
            auto at = std::lower_bound(begin, end, mate);
            double cost = pair_bound(setting_, mate, visit.clip);
            if (at != end && *at == mate && cost < -nowhere)
                kin_.push_back({static_cast<std::uint32_t>(at - entry_clip_.begin()), cost});
        }
        visit.kin_to = static_cast<std::uint32_t>(kin_.size());
    }
}

double Relaxation::own_cost(const Visit& visit) const {
    if (!objective_) return 0;
    const Slot& slot = setting_.grid.slots[visit.slot];
    return slot.unit * slot_cost(setting_, setting_.stock.clips[visit.clip], slot);
}

double Relaxation::reach(std::size_t slot, std::size_t clip, bool first) const {
    if (first) return objective_ ? steps_.opening(slot, clip) : 0;
    bool action = setting_.stock.clips[clip].action;
    std::uint32_t from = action ? action_[slot] : plain_[slot];
    std::uint32_t to = action ? plain_[slot] : opening_[slot + 1];
    auto end = visits_.begin() + to;
    auto at = std::lower_bound(visits_.begin() + from, end, clip,
                               [](const Visit& visit, std::size_t c) { return visit.clip < c; });
    return at != end && at->clip == clip ? reach_[static_cast<std::size_t>(at - visits_.begin())] : nowhere;
}

double Relaxation::worth(std::size_t p, std::size_t slot, const Arc& arc) const {
    auto need = steps_.need(p, slot, arc);
    if (!need) return nowhere;
    auto length = static_cast<double>(steps_.shortest_length(setting_.stock.plays[p], *need));
    double total =
        -charges_.use(p) - charges_.passed(p, steps_.passed(p, slot, *need)) - charges_.frame(p) * length;
    return objective_ ? total + steps_.gain(p, slot, arc) : total;
}

double Relaxation::offset(const std::vector<double>& prices) const {
    double sum = objective_ ? base_points(setting_) : 0;
    for (std::size_t r = 0; r < prices.size(); ++r) {
        const Row& row = rows_.rows[r];
        sum += prices[r] * row.most;
        if (objective_ && row.kind == Row::Kind::seen) sum += row.price;
    }
    return sum;
}

void Relaxation::leave(std::uint32_t v) {
    const Visit& visit = visits_[v];
    for (std::uint32_t h = visit.from; h < visit.to; ++h) {
        const Hop& hop = hops_[h];
        double total = reach_[v] - charges_.use(hop.play) + priced(hop);
        Entry& there = entries_[hop.entry];
        if (total > there.value) there = {total, h, v};
    }
}

// For each clip of the sort, the best clip to come from.
void Relaxation::enter(std::size_t slot, bool action) {
    std::uint32_t from = action ? action_[slot] : plain_[slot];
    std::uint32_t to = action ? plain_[slot] : opening_[slot + 1];
    order_.clear();
    const std::uint32_t first = first_entry_[gate(slot, action)];
    const std::uint32_t end = first_entry_[gate(slot, action) + 1];
    for (std::uint32_t e = first; e < end; ++e)
        if (entries_[e].value > nowhere) order_.emplace_back(entries_[e].value, entry_clip_[e]);
    for (std::uint32_t v = from; v < to; ++v) {
        reach_[v] = nowhere;
        which_[v] = none;
        for (std::uint32_t k = visits_[v].kin_from; k < visits_[v].kin_to; ++k) {
            double value = entries_[kin_[k].entry].value - unit(slot) * kin_[k].cost;
            if (value <= reach_[v]) continue;
            reach_[v] = value;
            came_[v] = kin_[k].entry;
        }
    }
    if (order_.empty()) return;
    into_->serve(order_, unit(slot), from, to, reach_, which_);
    for (std::uint32_t v = from; v < to; ++v) {
        if (reach_[v] == nowhere) continue;
        if (which_[v] != none) {
            auto begin = entry_clip_.begin();
            auto at = std::lower_bound(begin + first, begin + end, order_[which_[v]].second);
            came_[v] = static_cast<std::uint32_t>(at - begin);
        }
        reach_[v] -= own_cost(visits_[v]);
        leave(v);
    }
}

// The same path problem from the end: what can still come, for each shot.
void Relaxation::look_ahead(const std::vector<double>& prices) {
    charges_.set(prices, plays_);
    std::size_t slots = let_in_.size();
    ahead_.assign(slots, {});
    for (std::size_t s = 0; s < slots; ++s)
        ahead_[s].assign(let_in_[s].size(), nowhere);
    after_.assign(entry_clip_.size() + 4, nowhere);
    std::fill(after_.begin() + first_entry_[gate(slots, false)], after_.end(), 0);
    for (std::size_t slot = slots; slot-- > 0;)
        for (bool action : {false, true}) {
            order_.clear();
            std::uint32_t from = action ? action_[slot] : plain_[slot];
            std::uint32_t to = action ? plain_[slot] : opening_[slot + 1];
            for (std::uint32_t v = from; v < to; ++v) {
                double start = nowhere;
                for (std::uint32_t h = visits_[v].from; h < visits_[v].to; ++h) {
                    const Hop& hop = hops_[h];
                    double whole = priced(hop) + after_[hop.entry];
                    auto at = std::lower_bound(let_in_[slot].begin(), let_in_[slot].end(), hop.play);
                    double& its = ahead_[slot][static_cast<std::size_t>(at - let_in_[slot].begin())];
                    its = std::max(its, whole);
                    start = std::max(start, whole - charges_.use(hop.play));
                }
                if (start == nowhere) continue;
                start -= own_cost(visits_[v]);
                order_.emplace_back(start, visits_[v].clip);
                for (std::uint32_t k = visits_[v].kin_from; k < visits_[v].kin_to; ++k)
                    after_[kin_[k].entry] =
                        std::max(after_[kin_[k].entry], start - unit(slot) * kin_[k].cost);
            }
            out_of_->serve(order_, unit(slot), first_entry_[gate(slot, action)],
                           first_entry_[gate(slot, action) + 1], after_, which_);
        }
}

double Relaxation::ahead(std::size_t play, std::size_t slot) const {
    auto at = std::lower_bound(let_in_[slot].begin(), let_in_[slot].end(), play);
    if (at == let_in_[slot].end() || *at != play) return nowhere;
    return ahead_[slot][static_cast<std::size_t>(at - let_in_[slot].begin())];
}

Relaxation::Answer Relaxation::solve(const std::vector<double>& prices) {
    charges_.set(prices, plays_);
    entries_.assign(entry_clip_.size(), Entry{});
    for (std::size_t slot = 0; slot < let_in_.size(); ++slot) {
        for (std::uint32_t v = opening_[slot]; v < action_[slot]; ++v) {
            reach_[v] = reach(slot, visits_[v].clip, true);
            leave(v);
        }
        enter(slot, true);
        enter(slot, false);
    }
    Answer answer = read_back();
    if (answer.possible) answer.bound += offset(prices);
    return answer;
}

Relaxation::Answer Relaxation::read_back() const {
    Answer answer;
    const Entry* step = nullptr;
    std::size_t end = gate(let_in_.size(), false);
    for (std::uint32_t e = first_entry_[end]; e < first_entry_[end + 1]; ++e)
        if (entries_[e].value > (step ? step->value : nowhere)) step = &entries_[e];
    if (!step) return answer;
    answer.possible = true;
    answer.bound = step->value;
    answer.excess.resize(rows_.rows.size());
    for (std::size_t r = 0; r < answer.excess.size(); ++r)
        answer.excess[r] = -rows_.rows[r].most;
    for (;;) {
        const Hop& hop = hops_[step->hop];
        for (std::size_t r : rows_.of_clip[setting_.stock.plays[hop.play].clip])
            answer.excess[r] += rows_.rows[r].use;
        for (const RowUse& its : rows_.of_play[hop.play])
            answer.excess[its.row] += its.use;
        for (std::size_t r : rows_.length_of[hop.play])
            answer.excess[r] += rows_.rows[r].use * hop.length;
        for (std::size_t n = 0; n < hop.passed; ++n)
            answer.excess[rows_.passed_by[hop.play][n].row] += 1;
        const Visit& visit = visits_[step->visit];
        if (visit.first) return answer;
        step = &entries_[came_[step->visit]];
    }
}

} // namespace downball::solve
