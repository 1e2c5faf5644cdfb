// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/closing.h"

#include "solve/packing.h"

#include <algorithm>
#include <cmath>

namespace downball::solve {
namespace {

constexpr std::size_t failures_kept = 200000;

} // namespace

Closing::Answer Closing::best(const std::vector<double>& prices, std::optional<double> known, double work) {
    any_ = false;
    return run(prices, known.value_or(-std::numeric_limits<double>::infinity()), work);
}

Closing::Answer Closing::any(const std::vector<double>& prices, double work) {
    any_ = true;
    // What the bound is a difference of makes its rounding.
    double size = 1;
    for (std::size_t r = 0; r < prices.size(); ++r)
        size += std::abs(prices[r] * rows_.rows[r].most);
    relaxation_.set_objective(false);
    Answer answer = run(prices, -1e-6 * size, work);
    relaxation_.set_objective(true);
    return answer;
}

Closing::Answer Closing::run(const std::vector<double>& prices, double bar, double work) {
    prices_ = prices;
    answer_ = {};
    best_ = bar;
    left_ = work;
    stop_ = unsure_ = false;
    suffix_.clear();
    failed_.clear();
    sums_.assign(rows_.rows.size(), 0);
    list_least();
    if (!relaxation_.solve(prices).possible) {
        answer_.final = true;
        return answer_;
    }
    list_choices();
    descend(setting_.grid.slots.size(), false, relaxation_.offset(prices));
    answer_.final = !stop_ && !unsure_;
    answer_.steps = work - left_;
    return answer_;
}

// Of the rows that count shots or frames, each by itself: the relaxation's path with no other price.
void Closing::list_least() {
    least_.clear();
    std::vector<double> prices(rows_.rows.size());
    const std::size_t clips = setting_.stock.clips.size();
    for (std::size_t r = 0; r < prices.size(); ++r) {
        const Row& row = rows_.rows[r];
        if (row.soft() || row.kind == Row::Kind::point || row.kind == Row::Kind::moment) continue;
        const bool objective = !any_;
        relaxation_.set_objective(false);
        prices[r] = 1;
        Least least{r, std::vector<double>(setting_.grid.slots.size() * clips * 2)};
        if (relaxation_.solve(prices).possible)
            for (std::size_t slot = 0; slot < setting_.grid.slots.size(); ++slot)
                for (std::size_t clip = 0; clip < clips; ++clip)
                    least.before[start(slot, clip, false)] = -relaxation_.reach(slot, clip, false);
        prices[r] = 0;
        relaxation_.set_objective(objective);
        least_.push_back(std::move(least));
        left_ -= 1000;
    }
}

void Closing::list_choices() {
    const auto& plays = setting_.stock.plays;
    const std::size_t n = setting_.grid.slots.size(), clips = setting_.stock.clips.size();
    reach_.assign(n * clips * 2, nowhere);
    for (std::size_t s = 0; s < n; ++s)
        for (std::size_t clip = 0; clip < clips; ++clip)
            for (bool first : {false, true})
                reach_[start(s, clip, first)] = relaxation_.reach(s, clip, first);
    into_.assign((n + 1) * 2, {});
    for (std::size_t s = 0; s < n; ++s)
        for (std::uint32_t p : relaxation_.let_in()[s])
            for (bool first : {false, true}) {
                const double reach = reach_[start(s, plays[p].clip, first)];
                if (reach == nowhere || qualities_.at(p, s) < 0) continue;
                for (const Arc& arc : arcs_.of(s, plays[p].impact >= 0, first)) {
                    left_ -= 1;
                    const double value = reach + relaxation_.worth(p, s, arc);
                    if (value == nowhere) continue;
                    into_[arc.to * 2 + (arc.to_action ? 1 : 0)].push_back(
                        {value, {&arc, s, plays[p].impact >= 0, first}, p});
                }
            }
    for (auto& choices : into_)
        std::stable_sort(choices.begin(), choices.end(),
                         [](const Choice& a, const Choice& b) { return a.value > b.value; });
}

// The suffix begins at slot `at`; `value` bounds what it brings, with the offset.
void Closing::descend(std::size_t at, bool action, double value) {
    std::int64_t out = suffix_.empty() ? setting_.grid.length : suffix_.back().in;
    std::vector<std::pair<double, const Choice*>> choices;
    for (const Choice& choice : into_[at * 2 + (action ? 1 : 0)]) {
        left_ -= 1;
        if (value + choice.value <= bar()) break;
        double cost = 0;
        if (!suffix_.empty() && !any_)
            cost = setting_.grid.slots[at].unit * pair_cost(setting_, choice.play, suffix_.back().play);
        if (value + choice.value - cost > bar()) choices.emplace_back(cost, &choice);
    }
    if (left_ < 0) {
        stop_ = true;
        return;
    }
    if (!any_)
        std::stable_sort(choices.begin(), choices.end(), [](const auto& a, const auto& b) {
            return a.second->value - a.first > b.second->value - b.first;
        });
    for (const auto& [cost, choice] : choices) {
        if (stop_ || value + choice->value - cost <= bar()) return;
        place(*choice, out, value - cost);
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
        if (pin.record_in && piece.in < *pin.record_in && *pin.record_in < piece.out) return true;
        bool named = std::find(pin.plays.begin(), pin.plays.end(), piece.play) != pin.plays.end();
        if (!named) return pin.record_in == piece.in;
        return pin.ordinal == 0 && ((pin.record_in && *pin.record_in != piece.in) ||
                                    (pin.source_in && *pin.source_in != piece.source_in));
    });
}

// What the suffix uses, with the least that must or the most that can come before it.
bool Closing::rows_can_be_kept(const Before& before, std::size_t clip) const {
    return std::all_of(least_.begin(), least_.end(), [&](const Least& least) {
        return sums_[least.row] + least.before[start(before.slot, clip, before.first)] <=
               rows_.rows[least.row].most + 1e-6;
    });
}

void Closing::count(const Piece& piece, double sign) {
    for (std::size_t r : rows_.of_clip[setting_.stock.plays[piece.play].clip])
        sums_[r] += sign * rows_.rows[r].use;
    for (const RowUse& its : rows_.of_play[piece.play])
        sums_[its.row] += sign * its.use;
    for (std::size_t r : rows_.length_of[piece.play])
        sums_[r] += sign * rows_.rows[r].use * static_cast<double>(piece.out - piece.in);
}

double Closing::priced_value(const Piece& piece, const Arc& arc) const {
    const Play& play = setting_.stock.plays[piece.play];
    const Slot& slot = setting_.grid.slots[piece.slot];
    double value = -relaxation_.use_price(piece.play) -
                   steps_.passed_price(prices_, piece.play, piece.out - slot.frame - piece.span);
    for (std::size_t r : rows_.length_of[piece.play])
        value -= prices_[r] * rows_.rows[r].use * static_cast<double>(piece.out - piece.in);
    if (any_) return value;
    double error = play.impact >= 0 ? piece.error : border_error(slot);
    value += arc.share * quality(setting_, play, slot, error) + (play.slow ? arc.pace_slow : arc.pace_real) +
             setting_.weight[term::story] * arrival_value(setting_, play, piece.slot);
    if (arc.to == setting_.grid.slots.size())
        value += setting_.weight[term::story] * ending_value(setting_, setting_.clip_of(play));
    return value;
}

void Closing::place(const Choice& choice, std::int64_t out, double value) {
    const Before& before = choice.before;
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
        if (reached + reach_[start(before.slot, play.clip, before.first)] <= bar()) continue;
        suffix_.push_back(piece);
        count(piece, 1);
        if (rows_can_be_kept(before, play.clip)) {
            // Its own slot cost is part of what is reached; the pair costs come with the shot before.
            double slot_part = any_ ? 0 : slot.unit * slot_cost(setting_, clip, slot);
            if (before.first)
                complete();
            else if (!known_to_fail(before))
                descend(before.slot, before.action, reached - slot_part);
        }
        count(piece, -1);
        suffix_.pop_back();
    }
}

// The shots before have to mind what the suffix shows and where it begins, not in what order it shows it. The first time it
// is asked it is noted: if it comes again, nothing was found before it.
bool Closing::known_to_fail(const Before& before) {
    if (!any_) return false;
    std::vector<std::vector<std::int64_t>> shown;
    for (const Piece& piece : suffix_) {
        const Play& play = setting_.stock.plays[piece.play];
        const bool pinned = std::any_of(pins_.begin(), pins_.end(),
                                        [&](const Pin& pin) { return pin.clip == play.clip; });
        shown.push_back({static_cast<std::int64_t>(piece.play), piece.out - piece.in,
                         play.impact < 0 ? -1 : piece.source_in, pinned ? piece.in : -1});
    }
    std::sort(shown.begin(), shown.end());
    std::vector<std::int64_t> key{static_cast<std::int64_t>(before.slot), before.action ? 1 : 0,
                                  suffix_.back().in};
    for (const auto& its : shown)
        key.insert(key.end(), its.begin(), its.end());
    left_ -= 10;
    if (failed_.size() >= failures_kept) return failed_.contains(key);
    return !failed_.insert(std::move(key)).second;
}

// The suffix is a whole cut. Its score does not depend on sources, so it is asked first, being cheapest.
void Closing::complete() {
    Cut cut(suffix_.rbegin(), suffix_.rend());
    left_ -= 10.0 * static_cast<double>(cut.size());
    double score = cut_score(setting_, cut);
    if (!any_ && score <= bar()) return;
    left_ -= static_cast<double>(cut.size() * cut.size());
    if (!keeps_rows(rows_, sums_)) return;
    const Packed packed = give_sources(setting_, pins_, cut);
    unsure_ = unsure_ || packed == Packed::unsure;
    if (packed != Packed::yes || !constructor_.keeps_all(cut)) return;
    best_ = score;
    answer_.score = score;
    answer_.cut = std::move(cut);
    if (any_) stop_ = true;
}

} // namespace downball::solve
