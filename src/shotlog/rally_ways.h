// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/flight_times.h"
#include "downball/model/tags.h"

#include <array>
#include <cstddef>
#include <map>
#include <optional>
#include <span>
#include <utility>
#include <vector>

namespace downball::shotlog {

inline constexpr std::array all_skills{Skill::serve,  Skill::pass,  Skill::set,
                                       Skill::attack, Skill::block, Skill::dig};
inline constexpr double logged_share =
    0.8; // of the contacts of a clip, as loggers go (common practice, no source)

// A logarithm of a probability that is never minus infinity: no single clue may veto a reading.
double log_of(double probability);

// Share of a skill's contacts that is not heard.
double missed_share(Skill skill, std::optional<Skill> before);

// From one heard contact to the next: which skill that is, how many logged skills are then behind, and the
// likelihood of what was missed between.
struct Way {
    Skill to;
    std::size_t behind;
    bool logged;
    double value;
    std::optional<std::size_t> range; // of the time between, among RallyWays::ranges()
};

// All of a reading that follows from the logged skills alone.
class RallyWays {
  public:
    explicit RallyWays(std::span<const Skill> skills);

    const std::vector<Skill>& skills() const { return skills_; }
    std::optional<Skill> before(std::size_t i) const {
        return i > 0 ? std::optional(skills_[i - 1]) : std::nullopt;
    }
    // A contact that is `skill`, with so many logged skills behind; there are places() of them.
    std::size_t place(Skill skill, std::size_t behind) const {
        return static_cast<std::size_t>(skill) * (skills_.size() + 1) + behind;
    }
    std::size_t places() const { return from_.size(); }

    const std::vector<Way>& from(std::size_t place) const { return from_[place]; }
    // Few, so that the time between two contacts need be judged but once for each.
    const std::vector<FlightTimes>& ranges() const { return ranges_; }
    // Sums over the skills before each, and over all.
    const std::vector<double>& missed() const { return missed_; }

  private:
    void find_ways(Skill from, std::size_t behind, std::optional<FlightTimes> range, double value,
                   std::size_t gone, std::vector<Way>& ways);
    std::optional<std::size_t> number_of(const std::optional<FlightTimes>& range);

    std::vector<Skill> skills_;
    std::vector<double> missed_;
    std::vector<std::vector<Way>> from_; // by place()
    std::vector<FlightTimes> ranges_;
    std::map<std::pair<double, double>, std::size_t> numbers_; // of ranges, by their ends
};

} // namespace downball::shotlog
