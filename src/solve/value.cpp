// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/value.h"

#include "solve/rally.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <string>

namespace downball::solve {
namespace {

bool share(const std::vector<int>& a, const std::vector<int>& b) {
    std::size_t i = 0, j = 0;
    while (i < a.size() && j < b.size()) {
        if (a[i] == b[j]) return true;
        a[i] < b[j] ? ++i : ++j;
    }
    return false;
}

Values weights_in_force(const Problem& problem) {
    const Limits& limits = problem.limits;
    const Weights& w = limits.weights;
    Values out{w.sync,     w.accent, w.confidence, w.rating, w.rally, w.pace,     w.keep, w.variety,
               w.reaction, w.spread, w.chronology, w.side,   w.story, w.coverage, w.fresh};
    for (double& weight : out)
        weight = std::max(0.0, weight);
    if (!problem.last) out[term::keep] = 0;
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
    if (share(setting.stock.clip_players[index(a)], setting.stock.clip_players[index(b)])) sum += 0.4;
    if (x.size != Size::unknown && x.angle != Angle::unknown && x.size == y.size && x.angle == y.angle)
        sum += 0.4;
    if (!x.camera.empty() && x.camera == y.camera) sum += 0.2;
    return sum;
}

std::vector<Tags> make_tags(const Setting& setting) {
    std::vector<Tags> all;
    std::map<std::string, int> cameras;
    for (std::size_t c = 0; c < setting.stock.clips.size(); ++c) {
        const Clip& clip = setting.stock.clips[c];
        const Take& take = setting.take_of(clip);
        Tags tags;
        for (int player : setting.stock.clip_players[c])
            if (player < 64) tags.players |= std::uint64_t{1} << player;
        tags.day = clip.day;
        if (take.size != Size::unknown && take.angle != Angle::unknown)
            tags.look = static_cast<int>(take.size) * 64 + static_cast<int>(take.angle);
        if (!take.camera.empty())
            tags.camera =
                cameras.try_emplace(take.camera, static_cast<int>(cameras.size()) + 1).first->second;
        if (clip.action) {
            tags.set = std::max(0, take.set);
            if (take.side != Side::unknown) {
                int left = take.ends * 2 + 1;
                bool is_left = take.side == Side::left;
                tags.side = is_left ? left : left + 1;
                tags.other = is_left ? left + 1 : left;
            }
        }
        tags.kin = clip.moment >= 0 ? clip.moment : -1 - static_cast<int>(c);
        tags.action = clip.action;
        tags.answers = clip.reaction && clip.moment >= 0;
        tags.leaves =
            clip.action && clip.moment >= 0 && setting.stock.faces[static_cast<std::size_t>(clip.moment)];
        all.push_back(tags);
    }
    return all;
}

TagCosts make_tag_costs(const Setting& setting) {
    const Values& weight = setting.weight;
    TagCosts costs;
    costs.player = 0.4 * weight[term::variety];
    costs.look = 0.4 * weight[term::variety];
    costs.camera = 0.2 * weight[term::variety];
    costs.reaction = weight[term::reaction];
    costs.pause = weight[term::spread];
    costs.set = 0.5 * weight[term::spread];
    costs.side = weight[term::side];
    costs.back = setting.problem.limits.story.order == Order::chronological
                     ? std::numeric_limits<double>::infinity()
                     : weight[term::chronology];
    return costs;
}

bool one_moment(const Setting& setting, std::size_t a, std::size_t b) {
    return setting.tags[a].kin == setting.tags[b].kin;
}

double mates_bound(const Setting& setting, std::size_t before, std::size_t after) {
    const Stock& stock = setting.stock;
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t p : stock.clips[before].plays)
        for (std::size_t q : stock.clips[after].plays) {
            const Play& a = stock.plays[p];
            const Play& b = stock.plays[q];
            if (!out_of_order(setting, a, b))
                least = std::min(least, weighed(setting, pair_costs(setting, &a, b)));
        }
    return least;
}

std::vector<std::vector<std::pair<std::size_t, double>>> find_mates(const Setting& setting) {
    std::size_t n = setting.stock.clips.size();
    std::vector<std::vector<std::size_t>> of_moment(setting.stock.moments.size());
    for (std::size_t c = 0; c < n; ++c)
        if (int moment = setting.stock.clips[c].moment; moment >= 0)
            of_moment[static_cast<std::size_t>(moment)].push_back(c);
    std::vector<std::vector<std::pair<std::size_t, double>>> mates(n);
    for (std::size_t c = 0; c < n; ++c) {
        int moment = setting.stock.clips[c].moment;
        if (moment < 0) mates[c] = {{c, mates_bound(setting, c, c)}};
        if (moment >= 0)
            for (std::size_t other : of_moment[static_cast<std::size_t>(moment)])
                mates[c].emplace_back(other, mates_bound(setting, c, other));
    }
    return mates;
}

} // namespace

Setting make_setting(const Problem& problem) {
    Setting setting{problem, make_grid(problem), {}, {}, {}, {}, {}, {}};
    setting.stock = make_stock(problem, setting.grid);
    setting.weight = weights_in_force(problem);
    for (const Clip& clip : setting.stock.clips)
        setting.opening.push_back(
            clip.plays.empty()
                ? 0
                : weighed(setting, pair_costs(setting, nullptr, setting.stock.plays[clip.plays.front()])));
    setting.tags = make_tags(setting);
    setting.tag_costs = make_tag_costs(setting);
    setting.mates = find_mates(setting);
    return setting;
}

double sync_value(double error_frames) {
    double halves = std::min(1.0, std::abs(error_frames) * 2);
    return 1 - halves * halves;
}

namespace {

double accent(const Slot& slot, double strength) {
    return slot.strength * strength + (1 - slot.strength) / 2;
}

// Strength of the n-th contact held.
double strength_of(const Setting& setting, const Play& play, std::size_t n) {
    const Clip& clip = setting.clip_of(play);
    const std::size_t impact = clip.contact_impacts[static_cast<std::size_t>(play.contact) + n];
    return std::clamp(setting.take_of(clip).impacts[impact].strength, 0.0, 1.0);
}

} // namespace

double accent_value(const Setting& setting, const Play& play, const Slot& slot) {
    if (play.held == 1) return accent(slot, play.strength);
    const auto rally = on_beats(setting.grid, setting.clip_of(play), play, slot);
    if (!rally) return 0;
    double sum = 0;
    for (std::size_t n = 0; n < rally->count; ++n)
        sum += accent(setting.grid.slots[rally->holds[n].slot], strength_of(setting, play, n));
    return sum / static_cast<double>(rally->count);
}

double rating_value(int rating) {
    return (std::clamp(rating, 1, 5) - 1) / 4.0;
}

double rally_value(const Play& play) {
    return (play.held - 1) / 3.0;
}

double pace_value(const Slot& slot, bool slow, double span) {
    double octaves = std::abs(std::log2(std::max(span, 0.5) / slot.wanted));
    double motion = slow ? 1 - slot.energy : 0.5;
    return 0.8 * std::max(0.0, 1 - octaves / 3) + 0.2 * motion;
}

double keep_value(const Play& play, const Slot& slot) {
    for (const double at : play.hung)
        if (std::abs(at - slot.at) <= 0.5) return 1;
    return play.kept ? 0.5 : 0;
}

double border_error(const Slot& slot) {
    return static_cast<double>(slot.frame) - slot.at;
}

double quality(const Setting& setting, const Play& play, const Slot& slot, double error_frames) {
    const Take& take = setting.take_of(setting.clip_of(play));
    return setting.weight[term::sync] * sync_value(error_frames) +
           setting.weight[term::accent] * accent_value(setting, play, slot) +
           setting.weight[term::rally] * rally_value(play) +
           setting.weight[term::confidence] * play.confidence +
           setting.weight[term::rating] * rating_value(take.rating) +
           setting.weight[term::keep] * keep_value(play, slot);
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

bool share_player(const Setting& setting, std::size_t a, std::size_t b) {
    return share(setting.stock.clip_players[a], setting.stock.clip_players[b]);
}

double pair_cost(const Setting& setting, std::size_t before, std::size_t after) {
    const Play& a = setting.stock.plays[before];
    const Play& b = setting.stock.plays[after];
    if (one_moment(setting, a.clip, b.clip)) return weighed(setting, pair_costs(setting, &a, b));
    return strangers_cost(setting, a.clip, b.clip);
}

double pair_bound(const Setting& setting, std::size_t before, std::size_t after) {
    if (!one_moment(setting, before, after)) return strangers_cost(setting, before, after);
    const auto& mates = setting.mates[before];
    return std::lower_bound(mates.begin(), mates.end(), std::pair{after, -1.0})->second;
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
    if (play.impact < 0 || !setting.grid.arrival) return 0;
    if (play.held == 1) return setting.grid.arrival == slot ? play.strength / 3 : 0;
    if (!may_arrive(setting, slot)) return 0;
    const auto rally = on_beats(setting.grid, setting.clip_of(play), play, setting.grid.slots[slot]);
    for (std::size_t n = 0; rally && n < rally->count; ++n)
        if (rally->holds[n].slot == *setting.grid.arrival) return strength_of(setting, play, n) / 3;
    return 0;
}

bool may_arrive(const Setting& setting, std::size_t slot) {
    const auto& arrival = setting.grid.arrival;
    return arrival && slot <= *arrival &&
           setting.grid.slots[*arrival].frame - setting.grid.slots[slot].frame <= setting.grid.longest;
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
