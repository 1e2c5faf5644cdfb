// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "clocks/lag.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace downball::clocks {
namespace {

// A contact that one heard and the other did not, though it was listening, speaks against a lag, but little: soft
// ones are often not heard, and there are false ones.
constexpr double lone_weight = 0.25;

std::optional<Lag> lag_at(const Recording& ours, const Recording& theirs, double lag_s) {
    Lag lag;
    double weight = 0, sum = 0;
    const auto pairs = pair_contacts(ours.contacts, theirs.contacts, lag_s);
    if (pairs.size() < 2) return std::nullopt;
    std::vector<bool> paired(ours.contacts.size()), met(theirs.contacts.size());
    for (const auto& [i, j] : pairs) {
        const double apart_s = theirs.contacts[j].at_s - ours.contacts[i].at_s;
        const double both = ours.contacts[i].confidence * theirs.contacts[j].confidence;
        weight += both;
        sum += both * apart_s;
        paired[i] = met[j] = true;
    }
    if (weight <= 0) return std::nullopt;
    lag.lag_s = sum / weight;
    lag.pairs = pairs.size();
    for (const auto& [i, j] : pairs) {
        const double off_s = theirs.contacts[j].at_s - ours.contacts[i].at_s - lag.lag_s;
        lag.score += ours.contacts[i].confidence * theirs.contacts[j].confidence *
                     std::max(0.0, 1 - std::abs(off_s) / reach_s);
    }
    const auto alone = [&](const Recording& one, const std::vector<bool>& taken, double begin_s,
                           double end_s) {
        for (std::size_t i = 0; i < one.contacts.size(); ++i) {
            const double at_s = one.contacts[i].at_s;
            if (!taken[i] && at_s >= begin_s && at_s < end_s)
                lag.score -= lone_weight * one.contacts[i].confidence;
        }
    };
    alone(ours, paired, -lag.lag_s, theirs.real_s - lag.lag_s);
    alone(theirs, met, lag.lag_s, ours.real_s + lag.lag_s);
    return lag;
}

} // namespace

std::vector<std::pair<std::size_t, std::size_t>>
pair_contacts(std::span<const Contact> ours, std::span<const Contact> theirs, double lag_s) {
    std::vector<std::pair<std::size_t, std::size_t>> pairs;
    std::size_t j = 0;
    for (std::size_t i = 0; i < ours.size(); ++i) {
        const double wanted_s = ours[i].at_s + lag_s;
        while (j < theirs.size() && theirs[j].at_s < wanted_s - reach_s)
            ++j;
        if (j == theirs.size()) break;
        if (theirs[j].at_s > wanted_s + reach_s) continue;
        // The next of theirs may be nearer, and the next of ours nearer to this one.
        const auto off = [&](std::size_t a, std::size_t b) {
            return std::abs(theirs[b].at_s - ours[a].at_s - lag_s);
        };
        if (j + 1 < theirs.size() && off(i, j + 1) < off(i, j)) ++j;
        if (i + 1 < ours.size() && off(i + 1, j) < off(i, j) &&
            !(j + 1 < theirs.size() && off(i + 1, j + 1) < off(i + 1, j)))
            continue;
        pairs.emplace_back(i, j++);
    }
    return pairs;
}

std::vector<Lag> find_lags(const Recording& ours, const Recording& theirs, double from_s, double to_s,
                           std::size_t most) {
    std::vector<double> tries;
    for (const Contact& a : ours.contacts)
        for (const Contact& b : theirs.contacts)
            if (const double lag_s = b.at_s - a.at_s; lag_s >= from_s && lag_s <= to_s)
                tries.push_back(lag_s);
    std::sort(tries.begin(), tries.end());
    std::vector<Lag> found;
    for (const double lag_s : tries)
        if (const auto lag = lag_at(ours, theirs, lag_s); lag && lag->score > 0) found.push_back(*lag);
    std::stable_sort(found.begin(), found.end(),
                     [](const Lag& a, const Lag& b) { return a.score > b.score; });
    std::vector<Lag> apart;
    for (const Lag& lag : found) {
        if (apart.size() == most) break;
        if (std::none_of(apart.begin(), apart.end(),
                         [&](const Lag& better) { return std::abs(better.lag_s - lag.lag_s) < reach_s; }))
            apart.push_back(lag);
    }
    return apart;
}

} // namespace downball::clocks
