// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/value.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace downball::solve {
namespace {

constexpr std::size_t largest_table = 1500; // clips; 18 MB

bool share_player(const std::vector<int>& a, const std::vector<int>& b) {
    std::size_t i = 0, j = 0;
    while (i < a.size() && j < b.size()) {
        if (a[i] == b[j]) return true;
        a[i] < b[j] ? ++i : ++j;
    }
    return false;
}

Values weights_in_force(const Limits& limits) {
    const Weights& w = limits.weights;
    Values out{w.sync,   w.accent,     w.confidence, w.rating, w.pace,     w.variety, w.reaction,
               w.spread, w.chronology, w.side,       w.story,  w.coverage, w.fresh};
    for (double& weight : out)
        weight = std::max(0.0, weight);
    if (limits.story.order != Order::story) out[term::story] = 0;
    if (limits.story.order == Order::free) out[term::chronology] = 0;
    return out;
}

double weighed(const Setting& setting, const Values& costs) {
    double sum = 0;
    for (std::size_t t = term::variety; t <= term::side; ++t)
        sum += setting.weight[t] * costs[t];
    return sum;
}

double likeness(const Setting& setting, const Clip& a, const Clip& b) {
    if (a.take == b.take) return 1;
    const Take& x = setting.take_of(a);
    const Take& y = setting.take_of(b);
    auto index = [&](const Clip& clip) {
        return static_cast<std::size_t>(&clip - setting.stock.clips.data());
    };
    double sum = 0;
    if (share_player(setting.stock.clip_players[index(a)], setting.stock.clip_players[index(b)])) sum += 0.4;
    if (x.size != Size::unknown && x.angle != Angle::unknown && x.size == y.size && x.angle == y.angle)
        sum += 0.4;
    if (!x.camera.empty() && x.camera == y.camera) sum += 0.2;
    return sum;
}

} // namespace

Setting make_setting(const Problem& problem) {
    Setting setting{problem, make_grid(problem), {}, {}, {}, {}};
    setting.stock = make_stock(problem, setting.grid);
    setting.weight = weights_in_force(problem.limits);
    for (const Clip& clip : setting.stock.clips)
        setting.opening.push_back(
            clip.plays.empty()
                ? 0
                : weighed(setting, pair_costs(setting, nullptr, setting.stock.plays[clip.plays.front()])));
    std::size_t n = setting.stock.clips.size();
    if (n <= largest_table) {
        std::vector<double> table(n * n);
        for (std::size_t a = 0; a < n; ++a)
            for (std::size_t b = 0; b < n; ++b)
                table[a * n + b] = pair_bound(setting, a, b);
        setting.pair_table = std::move(table);
    }
    return setting;
}

double sync_value(double error_frames) {
    double halves = std::min(1.0, std::abs(error_frames) * 2);
    return 1 - halves * halves;
}

double accent_value(const Slot& slot, const Play& play) {
    return slot.strength * play.strength + (1 - slot.strength) / 2;
}

double rating_value(int rating) {
    return (std::clamp(rating, 1, 5) - 1) / 4.0;
}

double pace_value(const Slot& slot, bool slow, double span) {
    double octaves = std::abs(std::log2(std::max(span, 0.5) / slot.wanted));
    double motion = slow ? 1 - slot.energy : 0.5;
    return 0.8 * std::max(0.0, 1 - octaves / 3) + 0.2 * motion;
}

double border_error(const Slot& slot) {
    return static_cast<double>(slot.frame) - slot.at;
}

double quality(const Setting& setting, const Play& play, const Slot& slot, double error_frames) {
    const Take& take = setting.take_of(setting.clip_of(play));
    return setting.weight[term::sync] * sync_value(error_frames) +
           setting.weight[term::accent] * accent_value(slot, play) +
           setting.weight[term::confidence] * play.confidence +
           setting.weight[term::rating] * rating_value(take.rating);
}

bool goes_back(const Setting& setting, const Play& a, const Play& b) {
    const Clip& x = setting.clip_of(a);
    const Clip& y = setting.clip_of(b);
    if (a.clip == b.clip) return a.impact >= 0 && b.at < a.at;
    if (x.moment < 0 || x.moment != y.moment) return y.day < x.day;
    return a.place >= 0 && b.place >= 0 && b.place < a.place;
}

bool out_of_order(const Setting& setting, const Play& a, const Play& b) {
    const Limits& limits = setting.problem.limits;
    if (limits.story.order != Order::chronological) return false;
    const Clip& x = setting.clip_of(a);
    const Clip& y = setting.clip_of(b);
    bool one_moment = a.clip == b.clip || (x.moment >= 0 && x.moment == y.moment);
    return !(one_moment && limits.variety.replays) && goes_back(setting, a, b);
}

Values pair_costs(const Setting& setting, const Play* from, const Play& to) {
    Values costs{};
    const Clip* before = from ? &setting.clip_of(*from) : nullptr;
    const Clip& after = setting.clip_of(to);
    bool own_action = before && before->action && before->moment == after.moment;
    bool own_reaction = before && before->reaction && before->moment == after.moment;
    if (after.reaction && after.moment >= 0) {
        if (!own_action)
            costs[term::reaction] = own_reaction ? 0.5 : 1;
        else if (from->early)
            costs[term::reaction] = 0.5;
    }
    if (!before) return costs;
    bool leaves = before->action && before->moment >= 0 && before->moment != after.moment;
    if (leaves && setting.stock.faces[static_cast<std::size_t>(before->moment)]) costs[term::reaction] = 1;
    const Take& x = setting.take_of(*before);
    const Take& y = setting.take_of(after);
    costs[term::variety] = likeness(setting, *before, after);
    if (!before->action && !after.action)
        costs[term::spread] = 1;
    else if (before->action && after.action && x.set > 0 && y.set > 0 && x.set != y.set)
        costs[term::spread] = 0.5;
    if (goes_back(setting, *from, to)) costs[term::chronology] = 1;
    if (before->action && after.action && x.side != Side::unknown && y.side != Side::unknown &&
        x.side != y.side && x.ends == y.ends)
        costs[term::side] = 1;
    return costs;
}

double pair_cost(const Setting& setting, std::size_t before, std::size_t after) {
    const Play& a = setting.stock.plays[before];
    const Play& b = setting.stock.plays[after];
    const Clip& x = setting.clip_of(a);
    bool one_moment = a.clip == b.clip || (x.moment >= 0 && x.moment == setting.clip_of(b).moment);
    // Only in one moment does the cost depend on more than the clips.
    if (!one_moment && !setting.pair_table.empty() && !out_of_order(setting, a, b))
        return setting.pair_table[a.clip * setting.stock.clips.size() + b.clip];
    return weighed(setting, pair_costs(setting, &a, b));
}

double pair_bound(const Setting& setting, std::size_t before, std::size_t after) {
    const Stock& stock = setting.stock;
    if (!setting.pair_table.empty()) return setting.pair_table[before * stock.clips.size() + after];
    const Clip& x = stock.clips[before];
    const Clip& y = stock.clips[after];
    bool one_moment = before == after || (x.moment >= 0 && x.moment == y.moment);
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t p : x.plays)
        for (std::size_t q : y.plays) {
            const Play& a = stock.plays[p];
            const Play& b = stock.plays[q];
            // Outside one moment, all pairs of plays are alike.
            if (!out_of_order(setting, a, b))
                least = std::min(least, weighed(setting, pair_costs(setting, &a, b)));
            if (!one_moment) return least;
        }
    return least;
}

double opening_cost(const Setting& setting, std::size_t clip) {
    return setting.opening[clip];
}

double slot_cost(const Setting& setting, const Clip& clip, const Slot& slot) {
    return clip.action ? setting.weight[term::spread] * slot.calm : 0;
}

double opening_value(const Setting& setting, const Clip& clip) {
    Kind kind = setting.take_of(clip).kind;
    return kind == Kind::establishing ? 1.0 / 3 : kind == Kind::cutaway ? 1.0 / 6 : 0;
}

double ending_value(const Setting& setting, const Clip& clip) {
    Kind kind = setting.take_of(clip).kind;
    return kind == Kind::celebration ? 1.0 / 3 : kind == Kind::reaction ? 1.0 / 6 : 0;
}

double arrival_value(const Setting& setting, const Play& play, std::size_t slot) {
    return setting.grid.arrival == slot && play.impact >= 0 ? play.strength / 3 : 0;
}

double base_points(const Setting& setting) {
    double sum = setting.weight[term::fresh];
    for (std::size_t t = term::variety; t <= term::side; ++t)
        sum += setting.weight[t];
    return sum;
}

double coverage_gain(const Setting& setting) {
    std::size_t all = setting.stock.player_names.size() + setting.stock.skill_list.size();
    return all > 0 ? setting.weight[term::coverage] / static_cast<double>(all) : 0;
}

double repeat_cost(const Setting& setting) {
    return setting.weight[term::fresh] / setting.grid.expected_shots;
}

} // namespace downball::solve
