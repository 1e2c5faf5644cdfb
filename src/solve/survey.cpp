// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/survey.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

namespace downball::solve {
namespace {

constexpr double hair = 1e-9; // covers the rounding of sums that are added up in another order
constexpr std::size_t bins = 64;
constexpr std::size_t spans = 16; // classes of how long a rally lasts
constexpr std::size_t openings_kept = 8;

bool better(const std::pair<double, std::uint32_t>& a, const std::pair<double, std::uint32_t>& b) {
    return a.first != b.first ? a.first > b.first : a.second < b.second;
}

std::vector<std::uint32_t> all_clips(const Setting& setting) {
    std::vector<std::uint32_t> clips(setting.stock.clips.size());
    std::iota(clips.begin(), clips.end(), 0U);
    return clips;
}

} // namespace

Survey::Survey(const Setting& setting, const Rows& rows, const Arcs& arcs, const Steps& steps,
               const QualityTable& qualities)
    : setting_(setting), arcs_(arcs), steps_(steps), qualities_(qualities), slots_(setting.grid.slots.size()),
      clips_(setting.stock.clips.size()), charges_(setting, rows),
      matching_(setting, all_clips(setting), false), which_(clips_ + 4), risen_(clips_) {
    for (std::uint32_t p = 0; p < setting.stock.plays.size(); ++p) {
        all_.push_back(p);
        clip_of_.push_back(static_cast<std::uint32_t>(setting.stock.plays[p].clip));
        slow_.push_back(setting.stock.plays[p].slow ? 1 : 0);
        sorts_[setting.stock.plays[p].impact >= 0 ? 1 : 0].push_back(p);
    }
    for (const Tags& tags : setting.tags)
        leaving_.push_back(tags.leaves ? setting.weight[term::reaction] : 0);
}

double Survey::run(const std::vector<double>& prices, bool objective) {
    objective_ = objective;
    charges_.set(prices, all_);
    least_use_.assign(all_.size(), 0);
    for (std::uint32_t p : all_)
        least_use_[p] = charges_.use(p) + charges_.passed(p, steps_.passed_after(p, setting_.grid.tail)) +
                        charges_.frame(p) * static_cast<double>(setting_.stock.plays[p].shortest);
    after_.assign((slots_ + 1) * 2, std::vector<double>(clips_ + 4, nowhere));
    most_after_.assign((slots_ + 1) * 2, nowhere);
    after(slots_, false).assign(clips_ + 4, 0);
    most_after_[slots_ * 2] = 0;
    best_.assign(slots_, {});
    found_ = nowhere;
    for (std::size_t slot = slots_; slot-- > 0;)
        for (bool action : {false, true}) {
            rank(slot, action);
            open(slot, action);
        }
    return found_ + hair * static_cast<double>(slots_);
}

// What a shot of this play and all after it can bring, but for what its mere start costs.
double Survey::whole(std::size_t p, std::size_t slot, bool first) const {
    const Play& play = setting_.stock.plays[p];
    const double quality = qualities_.at(p, slot);
    const double ending = setting_.weight[term::story] * ending_value(setting_, setting_.clip_of(play));
    double best = nowhere;
    for (const Arc& arc : arcs_.of(slot, play.impact >= 0, first)) {
        double total = after(arc.to, arc.to_action)[play.clip];
        if (objective_)
            total += arc.share * quality + (play.slow ? arc.pace_slow : arc.pace_real) +
                     (arc.to == slots_ ? ending : 0);
        // Prices of contacts and frames only take away.
        if (total <= best) continue;
        auto need = steps_.need(p, slot, arc);
        if (!need) continue;
        total -= charges_.passed(p, steps_.passed(p, slot, *need)) +
                 charges_.frame(p) * static_cast<double>(steps_.shortest_length(play, *need));
        best = std::max(best, total);
    }
    bool arrives = objective_ && may_arrive(setting_, slot);
    return arrives ? best + setting_.weight[term::story] * arrival_value(setting_, play, slot) : best;
}

// For every play of the sort, no less than it can begin with. What it brings by an arc grows with its
// quality, so that a table over some qualities stands for all arcs that a rally of some length can leave by.
void Survey::estimate(std::size_t slot, bool action) {
    const float* on = qualities_.on(slot);
    float top = 0;
    for (std::uint32_t p : sorts_[action ? 1 : 0])
        top = std::max(top, on[p]);
    std::array<std::array<std::array<double, bins + 1>, 2>, spans> brings; // by span, slowness, quality
    const std::int64_t step = setting_.grid.longest / static_cast<std::int64_t>(spans) + 1;
    double ending = setting_.weight[term::story] / 3;
    for (std::size_t b = 0; b <= bins; ++b) {
        double quality = static_cast<double>(top) * static_cast<double>(b + 1) / bins;
        std::array<std::array<double, 2>, spans> by_last; // of the arcs that no longer rally can leave by
        by_last.fill({nowhere, nowhere});
        for (const Arc& arc : arcs_.of(slot, action, false)) {
            double rest = most_after_[arc.to * 2 + (arc.to_action ? 1 : 0)];
            if (objective_) rest += arc.share * quality + (arc.to == slots_ ? ending : 0);
            const std::int64_t longest = std::max<std::int64_t>(0, arc.cap - setting_.grid.tail);
            auto& its = by_last[std::min(spans - 1, static_cast<std::size_t>(longest / step))];
            its[0] = std::max(its[0], rest + (objective_ ? arc.pace_real : 0));
            its[1] = std::max(its[1], rest + (objective_ ? arc.pace_slow : 0));
        }
        for (std::size_t span = spans; span-- > 0;)
            for (std::size_t slow : {0U, 1U}) {
                const double longer = span + 1 < spans ? brings[span + 1][slow][b] : nowhere;
                brings[span][slow][b] = std::max(longer, by_last[span][slow]);
            }
    }
    double scale = top > 0 ? bins / static_cast<double>(top) : 0;
    bool arrival = objective_ && may_arrive(setting_, slot);
    estimates_.clear();
    for (std::uint32_t p : sorts_[action ? 1 : 0]) {
        if (on[p] < 0) continue;
        auto bin = std::min(bins, static_cast<std::size_t>(static_cast<double>(on[p]) * scale));
        const auto span = static_cast<std::size_t>(qualities_.span(p, slot) / step);
        double value = brings[span][slow_[p]][bin] - least_use_[p];
        if (arrival)
            value += setting_.weight[term::story] * arrival_value(setting_, setting_.stock.plays[p], slot);
        if (value > nowhere) estimates_.emplace_back(value, p);
    }
}

void Survey::add_start(std::size_t p, std::size_t slot) {
    double value = whole(p, slot, false);
    if (value == nowhere) return;
    const Slot& its = setting_.grid.slots[slot];
    const std::uint32_t clip = clip_of_[p];
    value -= charges_.use(p);
    if (objective_) value -= its.unit * slot_cost(setting_, setting_.stock.clips[clip], its);
    starts_.push_back({value, static_cast<std::uint32_t>(p)});
    if (value <= by_clip_[clip]) return;
    if (!risen_[clip]) rising_.push_back(clip);
    risen_[clip] = true;
    by_clip_[clip] = value;
}

// What may follow each clip, now that some clips can begin better.
void Survey::settle(std::size_t slot, bool action) {
    std::vector<double>& known = after(slot, action);
    double unit = objective_ ? setting_.grid.slots[slot].unit : 0;
    order_.clear();
    for (std::uint32_t clip : rising_) {
        risen_[clip] = false;
        order_.emplace_back(by_clip_[clip], clip);
        for (const auto& [mate, its] : setting_.mates[clip]) {
            double cost = pair_bound(setting_, mate, clip);
            if (cost < -nowhere) known[mate] = std::max(known[mate], by_clip_[clip] - unit * cost);
        }
    }
    rising_.clear();
    matching_.serve(order_, unit, 0, clips_, known, which_);
}

// A start changes something only where it is better than another of its clip, and than what may follow the worst
// served clip or, since that may cost less, one of its own moment. Puts those that may change something first.
Survey::Estimates::iterator Survey::may_matter(const std::vector<double>& known, std::size_t slot,
                                               Estimates::iterator from) {
    double unit = objective_ ? setting_.grid.slots[slot].unit : 0;
    double least = -nowhere;
    for (std::size_t c = 0; c < clips_; ++c)
        least = std::min(least, known[c] + unit * leaving_[c]);
    bars_.clear();
    for (std::size_t c = 0; c < clips_; ++c) {
        double bar = least;
        for (const auto& mate : setting_.mates[c])
            bar = std::min(bar, known[mate.first]);
        bars_.push_back(std::max(bar - hair, by_clip_[c]));
    }
    return std::partition(from, estimates_.end(), [&](const auto& estimate) {
        return estimate.first > bars_[clip_of_[estimate.second]];
    });
}

// What was not looked at brings its estimate at most. Few clips are served so badly that it tells.
void Survey::concede(std::vector<double>& known, std::size_t slot, Estimates::iterator from) {
    auto end = may_matter(known, slot, from);
    double most = nowhere;
    for (auto at = from; at != end; ++at) {
        most = std::max(most, at->first);
        for (const auto& mate : setting_.mates[clip_of_[at->second]])
            known[mate.first] = std::max(known[mate.first], at->first);
    }
    double unit = objective_ ? setting_.grid.slots[slot].unit : 0;
    for (std::size_t c = 0; c < clips_; ++c)
        known[c] = std::max(known[c], most - unit * leaving_[c]);
}

void Survey::rank(std::size_t slot, bool action) {
    if (arcs_.of(slot, action, false).empty()) return;
    estimate(slot, action);
    starts_.clear();
    by_clip_.assign(clips_, nowhere);
    std::size_t done = std::min(std::max<std::size_t>(64, keep_[action ? 1 : 0]), estimates_.size());
    auto edge = estimates_.begin() + static_cast<std::ptrdiff_t>(done);
    std::nth_element(estimates_.begin(), edge, estimates_.end(), better);
    for (auto at = estimates_.begin(); at != edge; ++at)
        add_start(at->second, slot);
    settle(slot, action);
    std::vector<double>& known = after(slot, action);
    // Of the rest twice as many each time, the best by estimate first; at last their estimates must do.
    for (std::size_t more = done; more < (done << doublings_); more *= 2) {
        auto end = may_matter(known, slot, edge);
        auto next = edge + std::min(static_cast<std::ptrdiff_t>(more), end - edge);
        std::nth_element(edge, next, end, better);
        for (; edge != next; ++edge)
            add_start(edge->second, slot);
        settle(slot, action);
        if (next == end) break;
    }
    concede(known, slot, edge);
    std::size_t left[2] = {keep_[action ? 1 : 0], keep_[1]}; // of others, of rallies
    most_after_[slot * 2 + (action ? 1 : 0)] =
        *std::max_element(known.begin(), known.begin() + static_cast<std::ptrdiff_t>(clips_));
    std::sort(starts_.begin(), starts_.end(), [](const Start& a, const Start& b) {
        return a.value != b.value ? a.value > b.value : a.play < b.play;
    });
    for (const Start& start : starts_) {
        std::size_t& its = left[setting_.stock.plays[start.play].held > 1 ? 1 : 0];
        if (its == 0) continue;
        --its;
        best_[slot].push_back(start.play);
    }
}

void Survey::open(std::size_t slot, bool action) {
    if (arcs_.of(slot, action, true).empty()) return;
    openings_.clear();
    for (std::uint32_t p : sorts_[action ? 1 : 0]) {
        if (qualities_.on(slot)[p] < 0) continue;
        double value = whole(p, slot, true) - charges_.use(p);
        if (objective_) value += steps_.opening(slot, clip_of_[p]);
        if (value > nowhere) openings_.emplace_back(value, p);
    }
    std::sort(openings_.begin(), openings_.end(), better);
    if (openings_.empty()) return;
    found_ = std::max(found_, openings_.front().first);
    for (std::size_t n = 0; n < std::min(openings_kept, openings_.size()); ++n)
        best_[slot].push_back(openings_[n].second);
}

} // namespace downball::solve
