// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/pick.h"

#include <algorithm>
#include <cstddef>
#include <numeric>

namespace downball::impacts {

std::vector<Scored> merge_close(const std::vector<Scored>& scored, double min_gap_s) {
    constexpr double believable = 0.6; // of the surest one's confidence
    std::vector<std::size_t> order(scored.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return scored[a].confidence > scored[b].confidence;
    });
    std::vector<bool> taken(scored.size(), false);
    std::vector<Scored> kept;
    for (const std::size_t i : order) {
        if (taken[i]) continue;
        taken[i] = true;
        Scored contact = scored[i];
        for (std::size_t j = i; j-- > 0 && scored[i].seconds - scored[j].seconds < min_gap_s;) {
            if (taken[j]) continue;
            taken[j] = true;
            if (scored[j].confidence >= believable * scored[i].confidence)
                contact.seconds = scored[j].seconds;
        }
        for (std::size_t j = i + 1; j < scored.size() && scored[j].seconds - scored[i].seconds < min_gap_s;
             ++j)
            taken[j] = true;
        kept.push_back(contact);
    }
    std::stable_sort(kept.begin(), kept.end(),
                     [](const Scored& a, const Scored& b) { return a.seconds < b.seconds; });
    return kept;
}

} // namespace downball::impacts
