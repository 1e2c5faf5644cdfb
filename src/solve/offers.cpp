// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/offers.h"

#include <algorithm>
#include <numeric>

namespace downball::solve {
namespace {

constexpr std::size_t most = 400; // on a slot, of a sort

Offers::Sort sort_of(const Play& play) {
    return play.impact < 0 ? Offers::plain : play.held > 1 ? Offers::rally : Offers::single;
}

} // namespace

Offers::Offers(const Setting& setting, const Rows& rows, const QualityTable& qualities, const Steps& steps,
               const std::vector<double>& prices) {
    const auto& slots = setting.grid.slots;
    const auto& plays = setting.stock.plays;
    const auto length = static_cast<double>(setting.grid.length);
    std::vector<std::uint32_t> all(plays.size());
    std::iota(all.begin(), all.end(), 0U);
    Charges charges(setting, rows);
    charges.set(prices, all);
    std::vector<double> cost;
    for (std::size_t p = 0; p < plays.size(); ++p) {
        cost.push_back(charges.use(p) + charges.passed(p, steps.passed_after(p, 0)));
        has_rallies_ = has_rallies_ || sort_of(plays[p]) == rally;
    }
    for (auto& lists : lists_)
        lists.resize(slots.size());
    std::array<std::vector<std::pair<double, std::uint32_t>>, sorts> ranked;
    for (std::size_t s = 0; s < slots.size(); ++s) {
        for (auto& list : ranked)
            list.clear();
        const double pace = setting.weight[term::pace];
        const double usual_pace = pace * pace_value(slots[s], false, slots[s].wanted);
        double best_single = 0;
        for (std::uint32_t p = 0; p < plays.size(); ++p) {
            const double quality = qualities.at(p, s);
            if (quality < 0) continue;
            const Offers::Sort sort = sort_of(plays[p]);
            if (sort == single) best_single = std::max(best_single, quality);
            double worth = slots[s].unit * quality - cost[p];
            if (sort == rally) {
                const auto span = static_cast<double>(qualities.span(p, s) + setting.grid.tail);
                worth = span / length *
                            (quality + pace * pace_value(slots[s], plays[p].slow, span) - usual_pace -
                             best_single) -
                        cost[p];
            }
            worth += setting.weight[term::story] * arrival_value(setting, plays[p], s);
            ranked[sort].emplace_back(-worth, p);
        }
        for (std::size_t sort = 0; sort < sorts; ++sort) {
            auto& list = ranked[sort];
            const auto edge = list.begin() + static_cast<std::ptrdiff_t>(std::min(most, list.size()));
            std::partial_sort(list.begin(), edge, list.end());
            for (auto at = list.begin(); at != edge; ++at)
                lists_[sort][s].push_back(at->second);
        }
    }
}

} // namespace downball::solve
