// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shotlog/rally_ways.h"

#include "shotlog/rally.h"

#include <algorithm>
#include <cmath>

namespace downball::shotlog {
namespace {

constexpr double out_of_order = 0.05;  // a pair of logged skills that the game does not have as neighbours
constexpr std::size_t most_missed = 2; // between two heard contacts

} // namespace

double log_of(double probability) {
    return std::log(std::max(probability, 0.005));
}

// A set is soft; a block follows its attack so closely that the two are one sound (common practice, no source for the
// figures).
double missed_share(Skill skill, std::optional<Skill> before) {
    if (skill == Skill::block && before == Skill::attack) return 0.9;
    return 0.02 + 0.6 * (1 - loudness(skill));
}

RallyWays::RallyWays(std::span<const Skill> skills)
    : skills_(skills.begin(), skills.end()), from_(all_skills.size() * (skills.size() + 1)) {
    missed_.push_back(0);
    for (std::size_t i = 0; i < skills_.size(); ++i)
        missed_.push_back(missed_.back() + log_of(missed_share(skills_[i], before(i))));
    for (const Skill skill : all_skills)
        for (std::size_t behind = 0; behind <= skills_.size(); ++behind)
            find_ways(skill, behind, FlightTimes{0, 0}, 0, 0, from_[place(skill, behind)]);
}

void RallyWays::find_ways(Skill from, std::size_t behind, std::optional<FlightTimes> range, double value,
                          std::size_t gone, std::vector<Way>& ways) {
    for (const Skill to : all_skills) {
        const auto next = flight_times(from, to);
        const auto both =
            next && range
                ? std::optional(FlightTimes{range->least_s + next->least_s, range->most_s + next->most_s})
                : std::nullopt;
        for (const bool logged : {true, false}) {
            if (logged ? behind == skills_.size() || skills_[behind] != to : !next) continue;
            const double here = value + std::log(logged ? logged_share : 1 - logged_share) +
                                (next ? 0 : std::log(out_of_order));
            const std::size_t now = behind + (logged ? 1 : 0);
            ways.push_back({to, now, logged, here + log_of(1 - missed_share(to, from)), number_of(both)});
            if (gone < most_missed)
                find_ways(to, now, both, here + log_of(missed_share(to, from)), gone + 1, ways);
        }
    }
}

std::optional<std::size_t> RallyWays::number_of(const std::optional<FlightTimes>& range) {
    if (!range) return std::nullopt;
    const auto [known, fresh] = numbers_.emplace(std::pair(range->least_s, range->most_s), ranges_.size());
    if (fresh) ranges_.push_back(*range);
    return known->second;
}

} // namespace downball::shotlog
