// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shotlog/rally.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace downball::shotlog {
namespace {

constexpr double any_gap_density = 0.2; // per second, where nothing is known of the time between
constexpr std::size_t look_back = 8;    // contacts that may be false between two of a rally

// What the sound of a contact says for a skill.
double evidence(Skill skill, const RallyContact& contact) {
    double value = log_of(contact.confidence) + loudness(skill) * contact.strength;
    if (contact.hard)
        value += log_of(is_hard(skill) ? *contact.hard / hard_share : (1 - *contact.hard) / (1 - hard_share));
    return value;
}

class Reading {
  public:
    Reading(const RallyWays& ways, std::span<const RallyContact> contacts)
        : ways_(ways), skills_(ways.skills()), missed_(ways.missed()), contacts_(contacts) {
        false_.push_back(0);
        for (const RallyContact& contact : contacts)
            false_.push_back(false_.back() + log_of(1 - contact.confidence));
    }

    std::vector<std::optional<std::size_t>> read() {
        const std::size_t width = ways_.places();
        states_.assign(contacts_.size() * width, State{});
        double best = false_.back() + missed_.back();
        std::optional<std::size_t> last;
        for (std::size_t at = 0; at < contacts_.size(); ++at) {
            begin_at(at);
            for (std::size_t back = 1; back <= look_back && back <= at; ++back)
                go_on(at - back, at);
            for (std::size_t i = 0; i < width; ++i) {
                const State& state = states_[at * width + i];
                if (!state.reached) continue;
                const double whole = state.value + false_.back() - false_[at + 1] + missed_.back() -
                                     missed_[i % (skills_.size() + 1)];
                if (whole <= best + 1e-9) continue;
                best = whole;
                last = at * width + i;
            }
        }
        std::vector<std::optional<std::size_t>> found(contacts_.size());
        for (; last; last = states_[*last].from) {
            const std::size_t behind = *last % (skills_.size() + 1);
            if (states_[*last].logged) found[*last / width] = behind - 1;
        }
        return found;
    }

  private:
    struct State {
        bool reached = false;
        bool logged = false;
        double value = 0;
        std::optional<std::size_t> from;
    };

    double heard(Skill skill, std::optional<Skill> after, const RallyContact& contact) const {
        return log_of(1 - missed_share(skill, after)) + evidence(skill, contact);
    }

    void offer(std::size_t at, Skill skill, std::size_t behind, State state) {
        State& known = states_[at * ways_.places() + ways_.place(skill, behind)];
        if (!known.reached || state.value > known.value + 1e-9) known = state;
    }

    void begin_at(std::size_t at) {
        for (std::size_t behind = 0; behind <= skills_.size(); ++behind) {
            const double before_it = false_[at] + missed_[behind];
            if (behind < skills_.size())
                offer(at, skills_[behind], behind + 1,
                      {true, true,
                       before_it + std::log(logged_share) +
                           heard(skills_[behind], ways_.before(behind), contacts_[at]),
                       std::nullopt});
            for (const Skill skill : all_skills)
                offer(at, skill, behind,
                      {true, false,
                       before_it + std::log(1 - logged_share) + heard(skill, std::nullopt, contacts_[at]),
                       std::nullopt});
        }
    }

    void go_on(std::size_t from, std::size_t at) {
        const double gap_s = contacts_[at].seconds - contacts_[from].seconds;
        const double between = false_[at] - false_[from + 1];
        gaps_.clear();
        for (const FlightTimes& range : ways_.ranges())
            gaps_.push_back(log_of(flight_density(gap_s, range)));
        for (std::size_t i = 0; i < ways_.places(); ++i) {
            const State state = states_[from * ways_.places() + i];
            if (!state.reached) continue;
            for (const Way& way : ways_.from(i)) {
                const double gap = way.range ? gaps_[*way.range] : std::log(any_gap_density);
                offer(at, way.to, way.behind,
                      {true, way.logged,
                       state.value + between + way.value + gap + evidence(way.to, contacts_[at]),
                       from * ways_.places() + i});
            }
        }
    }

    const RallyWays& ways_;
    const std::vector<Skill>& skills_;
    const std::vector<double>& missed_;
    std::span<const RallyContact> contacts_;
    std::vector<double> false_; // sums over what lies before
    std::vector<double> gaps_;  // what the time between two contacts says for each range
    std::vector<State> states_; // by contact, then place
};

} // namespace

// By ball speeds: 27 m/s attack, 20 serve; a set is all but silent. Only the order matters much (common
// practice, no source for the middle ones).
double loudness(Skill skill) {
    switch (skill) {
    case Skill::attack:
        return 1.0;
    case Skill::serve:
        return 0.8;
    case Skill::block:
        return 0.6;
    case Skill::dig:
        return 0.45;
    case Skill::pass:
        return 0.4;
    case Skill::set:
        return 0.2;
    }
    return 0;
}

bool in_time(std::span<const Skill> skills, std::span<const RallyContact> contacts) {
    for (std::size_t i = 1; i < skills.size() && i < contacts.size(); ++i) {
        const auto range = flight_times(skills[i - 1], skills[i]);
        const double gap_s = contacts[i].seconds - contacts[i - 1].seconds;
        if (range && (gap_s < range->least_s || gap_s > range->most_s)) return false;
    }
    return true;
}

std::vector<std::optional<std::size_t>> RallyReader::read(std::span<const Skill> skills,
                                                          std::span<const RallyContact> contacts) {
    if (skills.empty()) return std::vector<std::optional<std::size_t>>(contacts.size());
    constexpr std::size_t most_kept = 64; // of some 100 kB each
    std::vector<Skill> wanted(skills.begin(), skills.end());
    auto known = ways_.find(wanted);
    if (known == ways_.end()) {
        if (ways_.size() == most_kept) ways_.clear();
        known = ways_.emplace(std::move(wanted), RallyWays(skills)).first;
    }
    return Reading(known->second, contacts).read();
}

} // namespace downball::shotlog
