// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shotlog/rally.h"

#include "downball/model/flight_times.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace downball::shotlog {
namespace {

// A logarithm of a probability that is never minus infinity: no single clue may veto a reading.
double log_of(double probability) {
    return std::log(std::max(probability, 0.005));
}

constexpr std::array all_skills{Skill::serve,  Skill::pass,  Skill::set,
                                Skill::attack, Skill::block, Skill::dig};
constexpr double logged_share = 0.8;  // of the contacts of a clip, as loggers go (common practice, no source)
constexpr double out_of_order = 0.05; // a pair of logged skills that the game does not have as neighbours
constexpr double any_gap_density = 0.2; // per second, where nothing is known of the time between
constexpr std::size_t most_missed = 2;  // between two heard contacts
constexpr std::size_t look_back = 8;    // contacts that may be false between two of a rally

// What the sound of a contact says for a skill.
double evidence(Skill skill, const RallyContact& contact) {
    double value = log_of(contact.confidence) + loudness(skill) * contact.strength;
    if (contact.hard)
        value += log_of(is_hard(skill) ? *contact.hard / hard_share : (1 - *contact.hard) / (1 - hard_share));
    return value;
}

// Share of a skill's contacts that is not heard. A set is soft; a block follows its attack so closely that the
// two are one sound (common practice, no source for the figures).
double missed(Skill skill, std::optional<Skill> before) {
    if (skill == Skill::block && before == Skill::attack) return 0.9;
    return 0.02 + 0.6 * (1 - loudness(skill));
}

// From one heard contact to the next: which skill that is, how many logged skills are then behind, and the
// likelihood of what was missed between.
struct Way {
    Skill to;
    std::size_t behind;
    bool logged;
    double value;
    std::optional<FlightTimes> range;
};

class Reader {
  public:
    Reader(std::span<const Skill> skills, std::span<const RallyContact> contacts)
        : skills_(skills), contacts_(contacts), ways_(all_skills.size() * (skills.size() + 1)) {
        false_.push_back(0);
        for (const RallyContact& contact : contacts)
            false_.push_back(false_.back() + log_of(1 - contact.confidence));
        missed_.push_back(0);
        for (std::size_t i = 0; i < skills.size(); ++i)
            missed_.push_back(missed_.back() + log_of(missed(skills[i], before(i))));
        for (const Skill skill : all_skills)
            for (std::size_t behind = 0; behind <= skills.size(); ++behind)
                find_ways(skill, behind, FlightTimes{0, 0}, 0, 0, ways_[place(skill, behind)]);
    }

    std::vector<std::optional<std::size_t>> read() {
        const std::size_t width = ways_.size();
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

    std::optional<Skill> before(std::size_t i) const {
        return i > 0 ? std::optional(skills_[i - 1]) : std::nullopt;
    }
    std::size_t place(Skill skill, std::size_t behind) const {
        return static_cast<std::size_t>(skill) * (skills_.size() + 1) + behind;
    }
    double heard(Skill skill, std::optional<Skill> after, const RallyContact& contact) const {
        return log_of(1 - missed(skill, after)) + evidence(skill, contact);
    }

    void find_ways(std::optional<Skill> from, std::size_t behind, std::optional<FlightTimes> range,
                   double value, std::size_t gone, std::vector<Way>& ways) const {
        for (const Skill to : all_skills) {
            const auto next = flight_times(*from, to);
            const auto both =
                next && range
                    ? std::optional(FlightTimes{range->least_s + next->least_s, range->most_s + next->most_s})
                    : std::nullopt;
            for (const bool logged : {true, false}) {
                if (logged ? behind == skills_.size() || skills_[behind] != to : !next) continue;
                const double here = value + std::log(logged ? logged_share : 1 - logged_share) +
                                    (next ? 0 : std::log(out_of_order));
                const std::size_t now = behind + (logged ? 1 : 0);
                ways.push_back({to, now, logged, here + log_of(1 - missed(to, from)), both});
                if (gone < most_missed)
                    find_ways(to, now, both, here + log_of(missed(to, from)), gone + 1, ways);
            }
        }
    }

    void offer(std::size_t at, Skill skill, std::size_t behind, State state) {
        State& known = states_[at * ways_.size() + place(skill, behind)];
        if (!known.reached || state.value > known.value + 1e-9) known = state;
    }

    void begin_at(std::size_t at) {
        for (std::size_t behind = 0; behind <= skills_.size(); ++behind) {
            const double before_it = false_[at] + missed_[behind];
            if (behind < skills_.size())
                offer(at, skills_[behind], behind + 1,
                      {true, true,
                       before_it + std::log(logged_share) +
                           heard(skills_[behind], before(behind), contacts_[at]),
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
        for (std::size_t i = 0; i < ways_.size(); ++i) {
            const State state = states_[from * ways_.size() + i];
            if (!state.reached) continue;
            for (const Way& way : ways_[i]) {
                const double gap =
                    way.range ? log_of(flight_density(gap_s, *way.range)) : std::log(any_gap_density);
                offer(at, way.to, way.behind,
                      {true, way.logged,
                       state.value + between + way.value + gap + evidence(way.to, contacts_[at]),
                       from * ways_.size() + i});
            }
        }
    }

    std::span<const Skill> skills_;
    std::span<const RallyContact> contacts_;
    std::vector<double> false_, missed_; // sums over what lies before
    std::vector<std::vector<Way>> ways_; // by place()
    std::vector<State> states_;          // by contact, then place()
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

std::vector<std::optional<std::size_t>> read_rally(std::span<const Skill> skills,
                                                   std::span<const RallyContact> contacts) {
    if (skills.empty()) return std::vector<std::optional<std::size_t>>(contacts.size());
    return Reader(skills, contacts).read();
}

} // namespace downball::shotlog
