// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/solve/last_cut.h"

#include "solve/stock.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace downball::solve {
namespace {

using Shot = LastCut::Shot;

bool same_shot(const Shot& a, const Shot& b) {
    return a.action == b.action && name_of(a) == name_of(b);
}

// Pairs shots that are not paired yet, each of the earlier cut with the first that is alike.
template <class Alike>
void pair_up(const LastCut& before, const LastCut& now, std::vector<std::ptrdiff_t>& goes_to,
             std::vector<bool>& taken, const Alike& alike) {
    for (std::size_t i = 0; i < before.shots.size(); ++i)
        for (std::size_t j = 0; j < now.shots.size() && goes_to[i] < 0; ++j)
            if (!taken[j] && alike(before.shots[i], now.shots[j])) {
                goes_to[i] = static_cast<std::ptrdiff_t>(j);
                taken[j] = true;
            }
}

} // namespace

LastCut as_last_cut(const Problem& problem, const CutPlan& plan) {
    LastCut last;
    for (const PlannedShot& shot : plan.shots) {
        const bool action = !shot.anchors.empty();
        const double at_s =
            action ? problem.beats.beats[shot.anchors.front().beat].seconds - problem.song_start_s
                   : to_seconds(shot.record.in, problem.limits.delivery.rate);
        last.shots.push_back({shot.id, problem.log.takes[shot.take].id, action, at_s, shot.speed, shot.record,
                              shot.source_in, shot.stretches.empty() ? 1 : shot.anchors.size()});
    }
    return last;
}

OtherCut differ_from(const LastCut& cut, const std::string& name, double share) {
    OtherCut other{name, {}, {}, 1 - share};
    for (const Shot& shot : cut.shots)
        (shot.action ? other.contacts : other.takes).insert(name_of(shot));
    return other;
}

std::vector<CutChange> cut_changes(const LastCut& before, const LastCut& now, Rate rate) {
    std::vector<std::ptrdiff_t> goes_to(before.shots.size(), -1);
    std::vector<bool> taken(now.shots.size(), false);
    const auto stays = [&](const Shot& a, const Shot& b) {
        return same_shot(a, b) && runs_alike(a, b, rate) &&
               std::abs(a.at_s - b.at_s) * rate.per_second() <= 0.5;
    };
    pair_up(before, now, goes_to, taken, stays);
    std::vector<bool> stayed(before.shots.size());
    for (std::size_t i = 0; i < goes_to.size(); ++i)
        stayed[i] = goes_to[i] >= 0;
    pair_up(before, now, goes_to, taken, same_shot);

    std::vector<std::pair<double, CutChange>> timed;
    for (std::size_t i = 0; i < before.shots.size(); ++i) {
        const auto to = static_cast<std::size_t>(std::max<std::ptrdiff_t>(0, goes_to[i]));
        const auto what = stayed[i]        ? CutChange::What::stayed
                          : goes_to[i] < 0 ? CutChange::What::left
                                           : CutChange::What::moved;
        timed.push_back({before.shots[i].at_s, {what, i, to}});
    }
    for (std::size_t j = 0; j < now.shots.size(); ++j)
        if (!taken[j]) timed.push_back({now.shots[j].at_s, {CutChange::What::came, 0, j}});
    std::stable_sort(timed.begin(), timed.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first; });
    std::vector<CutChange> changes;
    for (const auto& [at_s, change] : timed)
        changes.push_back(change);
    return changes;
}

} // namespace downball::solve
