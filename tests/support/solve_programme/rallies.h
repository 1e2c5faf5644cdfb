// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/solve_programme/rules.h"

namespace downball::tests::programme {

// A contact of a rally on the beat: the whole source frame shown at the record frame of its beat.
struct Held {
    std::size_t contact = 0, slot = 0;
    std::int64_t source = 0;
    double error = 0; // frames
};

// Usable contacts of a take that follow one another, as many as are wanted; fewer if there are no more.
inline std::vector<std::size_t> successive(const Rules& rules, std::size_t t, std::size_t first, int count) {
    std::vector<std::size_t> all;
    const auto& impacts = rules.log.takes[t].impacts;
    for (std::size_t i = first; i < impacts.size() && static_cast<int>(all.size()) < count; ++i)
        if (rules.usable(impacts[i])) all.push_back(i);
    return all;
}

// How solve.h holds a rally that begins on a slot, worked out again from its sentence; empty if it cannot.
class Rallies {
  public:
    explicit Rallies(const Rules& rules) : r_(rules) {}

    std::vector<Held> hold(std::size_t t, const std::vector<std::size_t>& contacts, bool slowed,
                           std::size_t slot) const {
        std::vector<Held> all{held(t, contacts.front(), slot)};
        for (std::size_t n = 1; n < contacts.size(); ++n) {
            auto next = next_held(t, all.back(), contacts[n], slowed);
            if (!next) return {};
            all.push_back(*next);
        }
        for (std::size_t n = 0; n < all.size(); ++n) {
            double past = r_.contact_at(t, all[n].contact) - static_cast<double>(all[n].source);
            double speed = 1; // of the side on which the contact lies
            if (past < 0 && n > 0) speed = ratio(all[n - 1], all[n]);
            if (past > 0 && n + 1 < all.size()) speed = ratio(all[n], all[n + 1]);
            all[n].error = static_cast<double>(frame(all[n])) + past / speed - r_.slots[all[n].slot].at;
            if (std::abs(all[n].error) > 0.5 + hair) return {};
        }
        return all;
    }

    // Lowest speed of a slowed rally, if the file allows any below Rally::slowest.
    std::optional<double> slow_least(std::size_t t) const {
        const auto& rate = r_.log.media[r_.log.takes[t].media].rate;
        if (!rate || rate->per_second() < 1.9 * r_.fps - hair) return std::nullopt;
        double least = std::max(r_.fps / rate->per_second(), r_.limits.variety.slowest);
        return least < r_.limits.rally.slowest ? std::optional(least) : std::nullopt;
    }

    std::int64_t frame(const Held& its) const { return r_.slots[its.slot].frame; }

  private:
    static constexpr double close = 1e-9; // ratios of whole numbers
    Held held(std::size_t t, std::size_t contact, std::size_t slot) const {
        double off = r_.slots[slot].at - static_cast<double>(r_.slots[slot].frame);
        return {contact, slot, down(r_.contact_at(t, contact) - off + 0.5), 0};
    }
    double ratio(const Held& from, const Held& to) const {
        return static_cast<double>(to.source - from.source) / static_cast<double>(frame(to) - frame(from));
    }
    std::optional<Held> next_held(std::size_t t, const Held& before, std::size_t contact, bool slowed) const {
        const Rally& rally = r_.limits.rally;
        double least = slowed ? *slow_least(t) : rally.slowest;
        std::vector<Held> can;
        for (std::size_t s = before.slot + 1; s < r_.slots.size(); ++s) {
            if (!r_.slots[s].beat || r_.slots[s].frame <= frame(before)) continue;
            Held here = held(t, contact, s);
            double speed = ratio(before, here);
            bool below_most = slowed ? speed < rally.slowest - close : speed <= rally.fastest + close;
            if (speed >= least - close && below_most) can.push_back(here);
        }
        if (can.empty()) return std::nullopt;
        if (slowed) return can.front();
        auto octaves = [&](const Held& its) { return std::abs(std::log2(ratio(before, its))); };
        return *std::min_element(can.begin(), can.end(), [&](const Held& a, const Held& b) {
            return octaves(a) < octaves(b) - close;
        });
    }

    const Rules& r_;
};

} // namespace downball::tests::programme
