// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/construct.h"

#include "solve/beam.h"

#include <algorithm>
#include <cmath>

namespace downball::solve {

void Constructor::set_prices(const std::vector<double>& prices) {
    prices_ = prices;
    relaxation_.look_ahead(prices);
    const Stock& stock = setting_.stock;
    const auto& slots = setting_.grid.slots;
    std::vector<double> use = relaxation_.use_prices(prices);
    for (std::size_t p = 0; p < stock.plays.size(); ++p)
        use[p] += relaxation_.passed_price(prices, p, setting_.grid.tail);
    actions_.assign(slots.size(), {});
    plains_.assign(slots.size(), {});
    auto many = static_cast<std::size_t>(2 * setting_.grid.expected_shots) + 64;
    std::vector<std::pair<double, std::uint32_t>> ranked[2];
    for (std::size_t s = 0; s < slots.size(); ++s) {
        ranked[0].clear();
        ranked[1].clear();
        for (std::size_t p = 0; p < stock.plays.size(); ++p) {
            double worth = relaxation_.quality_at(p, s);
            if (worth < 0) continue;
            worth = slots[s].unit * worth - use[p] +
                    setting_.weight[term::story] * arrival_value(setting_, stock.plays[p], s);
            ranked[stock.plays[p].impact >= 0 ? 1 : 0].emplace_back(-worth, static_cast<std::uint32_t>(p));
        }
        for (int sort : {0, 1}) {
            auto& list = ranked[sort];
            auto keep = static_cast<std::ptrdiff_t>(std::min(many, list.size()));
            std::partial_sort(list.begin(), list.begin() + keep, list.end());
            auto& out = sort == 1 ? actions_[s] : plains_[s];
            for (auto at = list.begin(); at != list.begin() + keep; ++at)
                out.push_back(at->second);
        }
    }
}

std::optional<Cut> Constructor::build(const Cut& old, std::size_t from, std::size_t to, BeamWidth width,
                                      std::optional<Cut>* nearly) const {
    return Beam(*this, old, from, to, width).run(nearly);
}

bool Constructor::keeps_all(const Cut& cut) const {
    for (std::size_t b = 0; b < cut.size(); ++b) {
        if (!fits(setting_, cut[b])) return false;
        for (std::size_t a = 0; a < b; ++a)
            if (clash(setting_, cut[a], cut[b])) return false;
    }
    return keeps_rows(rows_, row_sums(setting_, rows_, cut)) && keeps_pins(setting_, pins_, cut);
}

} // namespace downball::solve
