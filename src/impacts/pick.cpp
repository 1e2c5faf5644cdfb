// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/pick.h"

#include <algorithm>
#include <cstddef>
#include <numeric>

namespace downball::impacts {

Scored scored_of(const Models& models, const Candidate& candidate) {
    return {candidate.seconds, static_cast<double>(candidate.features[Feature::second]), candidate.level,
            clearness(candidate.features), log_odds(models.hard, candidate.features)};
}

std::vector<Scored> merge_close(const std::vector<Scored>& scored, double min_gap_s) {
    constexpr double believable = 0.6; // of the surest one's confidence
    std::vector<std::size_t> order(scored.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return scored[a].log_odds > scored[b].log_odds; });
    std::vector<bool> taken(scored.size(), false);
    std::vector<Scored> kept;
    for (const std::size_t i : order) {
        if (taken[i]) continue;
        taken[i] = true;
        Scored contact = scored[i];
        for (std::size_t j = i; j-- > 0 && scored[i].seconds - scored[j].seconds < min_gap_s;) {
            if (taken[j]) continue;
            taken[j] = true;
            if (probability(scored[j].log_odds) >= believable * probability(scored[i].log_odds))
                contact.seconds = scored[j].seconds;
        }
        for (std::size_t j = i + 1; j < scored.size() && scored[j].seconds - scored[i].seconds < min_gap_s;
             ++j)
            taken[j] = true;
        // What lies just before the instant that was taken is the same contact too.
        for (std::size_t j = i; j-- > 0 && contact.seconds - scored[j].seconds < min_gap_s;)
            taken[j] = true;
        kept.push_back(contact);
    }
    std::stable_sort(kept.begin(), kept.end(),
                     [](const Scored& a, const Scored& b) { return a.seconds < b.seconds; });
    return kept;
}

} // namespace downball::impacts
