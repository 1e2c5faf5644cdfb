// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/rally.h"

#include "downball/impacts/impact_finder.h"
#include "downball/model/flight_times.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>

namespace downball::impacts {
namespace {

constexpr std::size_t skills = 6;
using BySkill = std::array<double, skills>;

constexpr std::size_t at(Skill skill) {
    return static_cast<std::size_t>(skill);
}

// Shares of play, in the order of Skill; they need only be near (common practice, no source).
constexpr BySkill begins{0.30, 0.18, 0.15, 0.22, 0.05, 0.10}; // what is heard first
constexpr BySkill goes_on{0.7, 0.7, 0.7, 0.5, 0.5, 0.7};      // so often the rally's next contact is there
constexpr BySkill unheard{0.1, 0.3, 0.5, 0.1, 0.2, 0.3};
constexpr double block_unheard = 0.9; // right after its attack: the two are one contact
constexpr double rate_hz = 0.4;       // contacts a second after an idle time
constexpr double longest_gap_s = 4;   // hardly a flight or two of them take longer
constexpr double most_gain = 5;
constexpr double least_log_odds = -6; // what is less likely has no say in a rally, and takes no time

struct Next {
    Skill from, to;
    double share;
};
constexpr std::array next_contacts{
    Next{Skill::serve, Skill::pass, 1},   Next{Skill::pass, Skill::set, 1},
    Next{Skill::dig, Skill::set, 1},      Next{Skill::set, Skill::attack, 1},
    Next{Skill::attack, Skill::dig, 0.8}, Next{Skill::attack, Skill::block, 0.2},
    Next{Skill::block, Skill::dig, 1},
};

double unheard_after(const Next& next) {
    return next.from == Skill::attack && next.to == Skill::block ? block_unheard : unheard[at(next.to)];
}

struct Way {
    std::size_t from, to;
    double weight;
    FlightTimes times;
};

// To the next contact, and over one that nobody heard to the one after it.
std::vector<Way> all_ways() {
    std::vector<Way> ways;
    for (const Next& one : next_contacts) {
        const auto first = flight_times(one.from, one.to);
        if (!first) continue;
        const double weight = goes_on[at(one.from)] * one.share;
        const double missed = unheard_after(one);
        ways.push_back({at(one.from), at(one.to), weight * (1 - missed), *first});
        for (const Next& two : next_contacts) {
            const auto second = flight_times(two.from, two.to);
            if (two.from != one.to || !second) continue;
            ways.push_back({at(one.from),
                            at(two.to),
                            weight * missed * goes_on[at(two.from)] * two.share,
                            {first->least_s + second->least_s, first->most_s + second->most_s}});
        }
    }
    return ways;
}

// ln(e^a + e^b).
double ln_sum(double a, double b) {
    const double high = std::max(a, b);
    if (std::isinf(high)) return high;
    return high + std::log1p(std::exp(std::min(a, b) - high));
}

double ln_sum(const BySkill& values) {
    double sum = -std::numeric_limits<double>::infinity();
    for (const double v : values)
        sum = ln_sum(sum, v);
    return sum;
}

BySkill plus(BySkill values, const BySkill& others) {
    for (std::size_t s = 0; s < skills; ++s)
        values[s] += others[s];
    return values;
}

constexpr BySkill nothing{-1e300, -1e300, -1e300, -1e300, -1e300, -1e300};

// Weights of readings, as logarithms. A reading names some candidates contacts; a contact counts by its odds,
// a gap by the density of its length over the rate at which contacts come anyway.
class Readings {
  public:
    explicit Readings(std::span<const Scored> contacts) : contacts_(contacts), ways_(all_ways()) {
        BySkill stops;
        stops.fill(1);
        for (const Way& way : ways_)
            stops[way.from] -= way.weight;
        for (std::size_t s = 0; s < skills; ++s) {
            ln_begins_[s] = std::log(begins[s]);
            ln_stops_[s] = std::log(stops[s]);
        }
        for (const Scored& c : contacts) {
            const double hard = probability(c.hard_log_odds);
            BySkill here;
            for (std::size_t s = 0; s < skills; ++s)
                here[s] =
                    c.log_odds + std::log(is_hard(static_cast<Skill>(s)) ? hard / hard_share
                                                                         : (1 - hard) / (1 - hard_share));
            here_.push_back(here);
        }
        forward();
        backward();
    }

    InRally at_contact(std::size_t i) const {
        constexpr double most_log_odds = 25; // beyond, 1 - p is lost in rounding
        const BySkill through = plus(before_[i], after_[i]);
        BySkill hard = nothing;
        for (std::size_t s = 0; s < skills; ++s)
            if (is_hard(static_cast<Skill>(s))) hard[s] = through[s];
        const double all = ln_sum(through);
        const double p = std::exp(std::min(0.0, all - whole_));
        const double posterior = std::clamp(std::log(p) - std::log1p(-p), -most_log_odds, most_log_odds);
        // What it would be worth with nothing around it.
        const double alone = ln_sum(plus(plus(ln_begins_, here_[i]), ln_stops_));
        return {std::clamp(posterior - alone, -most_gain, most_gain), std::exp(ln_sum(hard) - all)};
    }

  private:
    double gap_s(std::size_t from, std::size_t to) const {
        return contacts_[to].seconds - contacts_[from].seconds;
    }

    // before_: all readings up to a contact that takes it for a skill, itself included.
    void forward() {
        double idle = 0; // readings that have no flight under way
        for (std::size_t i = 0; i < contacts_.size(); ++i) {
            if (i > 0)
                idle = ln_sum(idle, ln_sum(plus(before_[i - 1], ln_stops_))) - rate_hz * gap_s(i - 1, i);
            BySkill come = ln_begins_;
            for (double& c : come)
                c += idle;
            for (std::size_t j = i; j-- > 0 && gap_s(j, i) < longest_gap_s;)
                for (const Way& way : ways_)
                    come[way.to] = ln_sum(come[way.to], before_[j][way.from] + ln_flight(way, gap_s(j, i)));
            before_.push_back(plus(come, here_[i]));
        }
    }

    // after_: all readings from a contact on that takes it for a skill, itself left out.
    void backward() {
        after_.assign(contacts_.size(), BySkill{});
        double idle = 0;
        for (std::size_t i = contacts_.size(); i-- > 0;) {
            BySkill go = ln_stops_;
            for (double& g : go)
                g += idle;
            for (std::size_t j = i + 1; j < contacts_.size() && gap_s(i, j) < longest_gap_s; ++j)
                for (const Way& way : ways_)
                    go[way.from] = ln_sum(go[way.from],
                                          here_[j][way.to] + after_[j][way.to] + ln_flight(way, gap_s(i, j)));
            after_[i] = go;
            idle = ln_sum(idle, ln_sum(plus(plus(ln_begins_, here_[i]), after_[i])));
            if (i > 0) idle -= rate_hz * gap_s(i - 1, i);
        }
        whole_ = idle;
    }

    double ln_flight(const Way& way, double gap_s) const {
        return std::log(std::max(1e-9, way.weight * flight_density(gap_s, way.times) / rate_hz));
    }

    std::span<const Scored> contacts_;
    std::vector<Way> ways_;
    BySkill ln_begins_{}, ln_stops_{};
    std::vector<BySkill> here_, before_, after_;
    double whole_ = 0;
};

} // namespace

std::vector<InRally> read_rallies(std::span<const Scored> contacts) {
    std::vector<Scored> likely;
    for (const Scored& c : contacts)
        if (c.log_odds >= least_log_odds) likely.push_back(c);
    const Readings readings(likely);
    std::vector<InRally> found;
    std::size_t next = 0;
    for (const Scored& c : contacts) {
        if (c.log_odds >= least_log_odds)
            found.push_back(readings.at_contact(next++));
        else
            found.push_back({0, probability(c.hard_log_odds)});
    }
    return found;
}

FeatureVector rally_features(const Scored& contact, const InRally& in_rally) {
    FeatureVector features;
    features[Feature::second] = static_cast<float>(contact.log_odds);
    features[Feature::rally] = static_cast<float>(in_rally.gain);
    return features;
}

void count_rallies(std::vector<Heard>& contacts) {
    constexpr double longest_s = 2 * longest_flight_s;
    int rally = -1;
    double last_s = -2 * longest_s;
    for (Heard& c : contacts) {
        if (c.confidence < default_floor) continue;
        if (c.sound_s - last_s > longest_s) ++rally;
        c.rally = rally;
        last_s = c.sound_s;
    }
}

} // namespace downball::impacts
