// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/value.h"

#include <algorithm>
#include <utility>
#include <vector>

namespace downball::solve {

// The best of the values first, at equal values the lower number; sorted only as far as anyone looks.
class Best {
  public:
    using Pair = std::pair<double, std::uint32_t>;
    explicit Best(std::vector<Pair>& all) : all_(all), rest_(all.size()) {
        std::make_heap(all_.begin(), all_.end(), behind);
    }
    const Pair& at(std::size_t n) {
        while (all_.size() - rest_ <= n)
            std::pop_heap(all_.begin(), all_.begin() + static_cast<std::ptrdiff_t>(rest_--), behind);
        return all_[all_.size() - 1 - n];
    }
    std::size_t size() const { return all_.size(); }

  private:
    static bool behind(const Pair& a, const Pair& b) {
        return a.first != b.first ? a.first < b.first : a.second > b.second;
    }
    std::vector<Pair>& all_;
    std::size_t rest_;
};

// The best that can follow this clip out of another moment, if it is more than `best`. `starts` = clips that
// may begin on the slot with what they bring; [1] those that answer a moment. `unit` weighs the cut.
inline double best_after(const Setting& setting, double unit, std::size_t before, Best (&starts)[2],
                         double best) {
    const Tags& its = setting.tags[before];
    for (std::size_t answers : {0U, 1U}) {
        double least = answers == 1 || its.leaves ? unit * setting.tag_costs.reaction : 0;
        for (std::size_t n = 0; n < starts[answers].size(); ++n) {
            const auto [value, clip] = starts[answers].at(n);
            if (value - least <= best) break;
            if (setting.tags[clip].kin == its.kin) continue;
            double cost = strangers_cost(setting, before, clip);
            if (cost < std::numeric_limits<double>::infinity()) best = std::max(best, value - unit * cost);
        }
    }
    return best;
}

} // namespace downball::solve
