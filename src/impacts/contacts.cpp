// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/contacts.h"

#include "impacts/rally.h"

#include <algorithm>
#include <cmath>

namespace downball::impacts {
namespace {

// How hard the hardest sounds: of those that are contacts, else of all.
float hardest(const std::vector<Heard>& contacts, const std::vector<float>& levels) {
    for (const bool sure : {true, false}) {
        float most = 0;
        for (std::size_t i = 0; i < contacts.size(); ++i)
            if (!sure || contacts[i].confidence >= default_floor) most = std::max(most, levels[i]);
        if (most > 0) return most;
    }
    return 0;
}

// 30 dB below the hardest and less is 0.
double strength_of(float level, float hardest) {
    constexpr double range_db = 30;
    if (!(level > 0)) return 0;
    const double down_db = -10 * std::log10(static_cast<double>(level / hardest));
    return std::clamp(1 - down_db / range_db, 0.0, 1.0);
}

} // namespace

std::vector<Heard> contacts_of(const std::vector<Scored>& scored, const Models& models,
                               const ImpactOptions& options) {
    const std::vector<Scored> merged = merge_close(scored, options.min_gap_s);
    const std::vector<InRally> rallies = read_rallies(merged);
    std::vector<Heard> contacts;
    std::vector<float> levels;
    for (std::size_t i = 0; i < merged.size(); ++i) {
        contacts.push_back(
            {merged[i].seconds,
             probability(log_odds(models.rally, rally_features(merged[i], rallies[i]), merged[i].clear)), 0,
             rallies[i].hard, -1});
        levels.push_back(merged[i].level);
    }
    const float most = hardest(contacts, levels);
    for (std::size_t i = 0; i < contacts.size(); ++i)
        contacts[i].strength = strength_of(levels[i], most);
    std::erase_if(contacts, [&](const Heard& c) { return c.confidence < options.floor; });
    count_rallies(contacts);
    return contacts;
}

} // namespace downball::impacts
