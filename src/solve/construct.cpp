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
    const auto& plays = setting_.stock.plays;
    const auto& slots = setting_.grid.slots;
    actions_.assign(slots.size(), {});
    plains_.assign(slots.size(), {});
    std::vector<std::pair<double, std::uint32_t>> ranked;
    for (std::size_t s = 0; s < slots.size(); ++s) {
        ranked.clear();
        for (std::uint32_t p : relaxation_.let_in()[s]) {
            double worth = relaxation_.ahead(p, s) - relaxation_.use_price(p);
            ranked.emplace_back(-worth, p);
        }
        std::sort(ranked.begin(), ranked.end());
        for (const auto& [worth, p] : ranked)
            (plays[p].impact >= 0 ? actions_ : plains_)[s].push_back(p);
    }
}

std::optional<Cut> Constructor::build(BeamWidth width, std::optional<Cut>* nearly) const {
    return Beam(*this, width).run(nearly);
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
