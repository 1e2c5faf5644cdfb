// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "clocks/hints.h"

namespace downball::clocks {

std::vector<Placed> placed(const std::vector<Hint>& hints, std::size_t& pairs) {
    std::vector<std::pair<std::size_t, std::size_t>> known;
    for (const Hint& hint : hints)
        known.push_back(pair_of(hint));
    std::sort(known.begin(), known.end());
    known.erase(std::unique(known.begin(), known.end()), known.end());
    pairs = known.size();
    std::vector<Placed> all;
    for (const Hint& hint : hints) {
        const auto at = std::lower_bound(known.begin(), known.end(), pair_of(hint));
        all.push_back({0, static_cast<std::size_t>(at - known.begin()), hint});
    }
    return all;
}

} // namespace downball::clocks
