// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/relaxation.h"

#include <algorithm>
#include <cmath>

namespace downball::solve {
namespace {

constexpr double nowhere = -std::numeric_limits<double>::infinity();
constexpr float cannot = -1.0F;

bool pin_allows(const std::vector<Pin>& pins, std::size_t play, const Placement& place) {
    for (const Pin& pin : pins) {
        if (pin.ordinal > 0) continue;
        bool named = std::find(pin.plays.begin(), pin.plays.end(), play) != pin.plays.end();
        // A contact is anchored once at most, so the lock binds every use of it.
        if (named && ((pin.record_in && *pin.record_in != place.record_in) ||
                      (pin.source_in && *pin.source_in != place.source_in)))
            return false;
        if (!named && pin.record_in && *pin.record_in == place.record_in) return false;
    }
    return true;
}

} // namespace

Relaxation::Relaxation(const Setting& setting, const Rows& rows, const Arcs& arcs,
                       const std::vector<Pin>& pins)
    : setting_(setting), rows_(rows), arcs_(arcs), slots_(setting.grid.slots.size()),
      clips_(setting.stock.clips.size()), came_(slots_ * clips_) {
    prepare_quality(pins);
}

void Relaxation::prepare_quality(const std::vector<Pin>& pins) {
    const auto& plays = setting_.stock.plays;
    quality_.assign(plays.size() * slots_, cannot);
    for (std::size_t p = 0; p < plays.size(); ++p)
        for (std::size_t s = 0; s < slots_; ++s) {
            const Slot& slot = setting_.grid.slots[s];
            double best = -1;
            if (plays[p].impact < 0) {
                if (slot.plain) best = quality(setting_, plays[p], slot, border_error(slot));
            } else if (slot.beat >= 0) {
                for (const Placement& place :
                     placements(setting_.grid, setting_.clip_of(plays[p]), plays[p], slot))
                    if (pin_allows(pins, p, place))
                        best = std::max(best, quality(setting_, plays[p], slot, place.error));
            }
            if (best >= 0) quality_[p * slots_ + s] = std::nextafter(static_cast<float>(best), 1e9F);
        }
}

std::vector<double> Relaxation::use_prices(const std::vector<double>& prices) const {
    const Stock& stock = setting_.stock;
    std::vector<double> of_clip(stock.clips.size()), of_play(stock.plays.size());
    for (std::size_t c = 0; c < stock.clips.size(); ++c)
        for (std::size_t r : rows_.of_clip[c])
            of_clip[c] += prices[r] * rows_.rows[r].use;
    for (std::size_t p = 0; p < stock.plays.size(); ++p) {
        of_play[p] = of_clip[stock.plays[p].clip];
        for (std::size_t r : rows_.of_play[p])
            of_play[p] += prices[r] * rows_.rows[r].use;
    }
    return of_play;
}

double Relaxation::passed_price(const std::vector<double>& prices, std::size_t play,
                                std::int64_t need) const {
    double sum = 0;
    for (const PassedContact& passed : rows_.passed_by[play]) {
        if (passed.after > 0 && passed.after >= static_cast<double>(need)) break;
        sum += prices[passed.row];
    }
    return sum;
}

std::int64_t Relaxation::need_of(const Play& play, const Arc& arc) const {
    if (play.impact < 0) return std::max(arc.need, play.shortest);
    std::int64_t lead = arc.opening_lead >= 0 ? arc.opening_lead : play.lead_max;
    std::int64_t need = std::max(arc.need, play.shortest - std::min(lead, play.room_before));
    return need <= play.tail_safe ? need : least_after(setting_.grid, setting_.clip_of(play), play, need);
}

double Relaxation::shortest_length(const Play& play, std::int64_t need) const {
    if (play.impact < 0) return static_cast<double>(need);
    return static_cast<double>(std::max(play.shortest, need + setting_.grid.lead_min));
}

double Relaxation::reach(std::size_t slot, std::size_t clip, bool first) const {
    if (!first) return reach_[slot * clips_ + clip];
    const Clip& its = setting_.stock.clips[clip];
    const Slot& where = setting_.grid.slots[slot];
    if (!objective_) return 0;
    return setting_.weight[term::story] * opening_value(setting_, its) -
           where.unit * (opening_cost(setting_, clip) + slot_cost(setting_, its, where));
}

double Relaxation::worth(std::size_t p, std::size_t slot, const Arc& arc) const {
    return stay(p, slot, arc) - use_price_[p];
}

double Relaxation::stay(std::size_t p, std::size_t slot, const Arc& arc) const {
    const Play& play = setting_.stock.plays[p];
    std::int64_t need = need_of(play, arc);
    if (quality_at(p, slot) < 0 || need > arc.cap || need > play.room_after) return nowhere;
    double total = -passed_price(prices_, p, need) - frame_price_[p] * shortest_length(play, need);
    if (!objective_) return total;
    total += arc.share * quality_at(p, slot) + (play.slow ? arc.pace_slow : arc.pace_real) +
             setting_.weight[term::story] * arrival_value(setting_, play, slot);
    if (arc.to == slots_)
        total += setting_.weight[term::story] * ending_value(setting_, setting_.clip_of(play));
    return total;
}

double Relaxation::offset(const std::vector<double>& prices) const {
    double sum = objective_ ? base_points(setting_) : 0;
    for (std::size_t r = 0; r < prices.size(); ++r) {
        sum += prices[r] * rows_.rows[r].most;
        if (objective_ && rows_.rows[r].kind == Row::Kind::seen) sum += rows_.rows[r].price;
    }
    return sum;
}

// The same sums as worth(), with what does not depend on the step taken out of the loop.
void Relaxation::extend(std::size_t slot, std::size_t clip, bool first) {
    const Clip& its = setting_.stock.clips[clip];
    const auto& arcs = arcs_.of(slot, its.action, first);
    double value = reach(slot, clip, first);
    double ending = objective_ ? setting_.weight[term::story] * ending_value(setting_, its) : 0;
    for (std::size_t p : its.plays) {
        double best = quality_at(p, slot);
        if (best < 0) continue;
        const Play& play = setting_.stock.plays[p];
        double start = value - use_price_[p];
        if (objective_) start += setting_.weight[term::story] * arrival_value(setting_, play, slot);
        for (const Arc& arc : arcs) {
            std::int64_t need = need_of(play, arc);
            if (need > arc.cap || need > play.room_after) continue;
            double total = start - passed_price(prices_, p, need);
            if (frame_price_[p] > 0) total -= frame_price_[p] * shortest_length(play, need);
            if (objective_) total += arc.share * best + (play.slow ? arc.pace_slow : arc.pace_real);
            if (arc.to == slots_) total += ending;
            Entry& there = entry(arc.to, arc.to_action, clip);
            if (total > there.value)
                there = {total, static_cast<std::uint32_t>(slot), static_cast<std::uint32_t>(p), first};
        }
    }
}

// For each clip of the sort, the best clip to come from; pair costs are never negative, so the search over
// clips ends as soon as the bare value of the rest is no better.
void Relaxation::enter(std::size_t slot, bool action) {
    order_.clear();
    for (std::size_t c = 0; c < clips_; ++c)
        if (double value = entry(slot, action, c).value; value > nowhere)
            order_.emplace_back(value, static_cast<std::uint32_t>(c));
    if (order_.empty()) return;
    std::sort(order_.begin(), order_.end(), [](const auto& a, const auto& b) {
        return a.first != b.first ? a.first > b.first : a.second < b.second;
    });
    const Slot& its = setting_.grid.slots[slot];
    for (std::size_t c = 0; c < clips_; ++c) {
        const Clip& clip = setting_.stock.clips[c];
        if (clip.action != action || clip.plays.empty()) continue;
        double best = nowhere;
        for (const auto& [value, before] : order_) {
            if (value <= best) break;
            double cost = pair_bound(setting_, before, c);
            if (cost == std::numeric_limits<double>::infinity()) continue;
            double total = objective_ ? value - its.unit * cost : value;
            if (total > best) {
                best = total;
                came_[slot * clips_ + c] = before;
            }
        }
        if (best == nowhere) continue;
        if (objective_) best -= its.unit * slot_cost(setting_, clip, its);
        reach_[slot * clips_ + c] = best;
        extend(slot, c, false);
    }
}

// `starts` = what may begin on the slot with what it brings, the best first.
double Relaxation::best_after(std::size_t slot, std::size_t before,
                              const std::vector<std::pair<double, std::uint32_t>>& starts) const {
    double best = nowhere;
    for (const auto& [value, clip] : starts) {
        if (value <= best) break;
        double cost = pair_bound(setting_, before, clip);
        if (cost == std::numeric_limits<double>::infinity()) continue;
        best = std::max(best, objective_ ? value - setting_.grid.slots[slot].unit * cost : value);
    }
    return best;
}

// The same path problem from the end: what can still come, for each shot.
void Relaxation::look_ahead(const std::vector<double>& prices) {
    set_prices(prices);
    const auto& plays = setting_.stock.plays;
    ahead_.assign(plays.size() * slots_, static_cast<float>(nowhere));
    std::vector<double> after((slots_ + 1) * 2 * clips_, nowhere); // by next slot, its sort, and clip before
    std::fill(after.end() - static_cast<std::ptrdiff_t>(2 * clips_), after.end(), 0);
    for (std::size_t slot = slots_; slot-- > 0;)
        for (bool action : {false, true}) {
            order_.clear();
            for (std::size_t c = 0; c < clips_; ++c) {
                const Clip& clip = setting_.stock.clips[c];
                if (clip.action != action) continue;
                double best = nowhere;
                for (std::size_t p : clip.plays) {
                    if (quality_at(p, slot) < 0) continue;
                    double whole = nowhere;
                    for (const Arc& arc : arcs_.of(slot, action, false))
                        whole =
                            std::max(whole, stay(p, slot, arc) +
                                                after[(arc.to * 2 + (arc.to_action ? 1 : 0)) * clips_ + c]);
                    ahead_[p * slots_ + slot] = static_cast<float>(whole);
                    best = std::max(best, whole - use_price_[p]);
                }
                if (objective_)
                    best -=
                        setting_.grid.slots[slot].unit * slot_cost(setting_, clip, setting_.grid.slots[slot]);
                if (best > nowhere) order_.emplace_back(best, static_cast<std::uint32_t>(c));
            }
            std::sort(order_.begin(), order_.end(), [](const auto& a, const auto& b) {
                return a.first != b.first ? a.first > b.first : a.second < b.second;
            });
            for (std::size_t c = 0; c < clips_; ++c)
                after[(slot * 2 + (action ? 1 : 0)) * clips_ + c] = best_after(slot, c, order_);
        }
}

void Relaxation::set_prices(const std::vector<double>& prices) {
    prices_ = prices;
    use_price_ = use_prices(prices);
    frame_price_.assign(setting_.stock.plays.size(), 0);
    for (std::size_t p = 0; p < frame_price_.size(); ++p)
        for (std::size_t r : rows_.length_of[p])
            frame_price_[p] += prices[r] * rows_.rows[r].use;
}

Relaxation::Answer Relaxation::solve(const std::vector<double>& prices) {
    set_prices(prices);
    reach_.assign(slots_ * clips_, nowhere);
    entries_.assign((slots_ + 1) * 2 * clips_, Entry{nowhere, 0, 0, false});
    for (std::size_t slot = 0; slot < slots_; ++slot) {
        const Slot& its = setting_.grid.slots[slot];
        for (std::size_t c = 0; c < clips_; ++c) {
            const Clip& clip = setting_.stock.clips[c];
            if (arcs_.of(slot, clip.action, true).empty() || clip.plays.empty()) continue;
            extend(slot, c, true);
        }
        if (its.beat >= 0) enter(slot, true);
        if (its.plain) enter(slot, false);
    }
    Answer answer = read_back();
    if (!answer.possible) return answer;
    answer.bound += offset(prices);
    return answer;
}

Relaxation::Answer Relaxation::read_back() const {
    Answer answer;
    std::size_t clip = 0;
    double best = nowhere;
    for (std::size_t c = 0; c < clips_; ++c)
        if (double value = entry(slots_, false, c).value; value > best) {
            best = value;
            clip = c;
        }
    if (best == nowhere) return answer;
    answer.possible = true;
    answer.bound = best;
    answer.excess.resize(rows_.rows.size());
    for (std::size_t r = 0; r < answer.excess.size(); ++r)
        answer.excess[r] = -rows_.rows[r].most;
    std::size_t at = slots_;
    bool action = false;
    for (;;) {
        const Entry& step = entry(at, action, clip);
        const Play& play = setting_.stock.plays[step.play];
        bool is_action = play.impact >= 0;
        std::int64_t need = 0;
        for (const Arc& arc : arcs_.of(step.slot, is_action, step.first))
            if (arc.to == at && arc.to_action == action) need = need_of(play, arc);
        answer.path.push_back({step.play, step.slot, need});
        for (std::size_t r : rows_.of_clip[play.clip])
            answer.excess[r] += rows_.rows[r].use;
        for (std::size_t r : rows_.of_play[step.play])
            answer.excess[r] += rows_.rows[r].use;
        for (std::size_t r : rows_.length_of[step.play])
            answer.excess[r] += rows_.rows[r].use * shortest_length(play, need);
        for (const PassedContact& passed : rows_.passed_by[step.play]) {
            if (passed.after > 0 && passed.after >= static_cast<double>(need)) break;
            answer.excess[passed.row] += 1;
        }
        if (step.first) break;
        clip = came_[step.slot * clips_ + clip];
        at = step.slot;
        action = is_action;
    }
    std::reverse(answer.path.begin(), answer.path.end());
    return answer;
}

} // namespace downball::solve
