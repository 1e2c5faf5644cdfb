// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "clocks/offset_bins.h"

#include <algorithm>
#include <cmath>
#include <unordered_map>

namespace downball::clocks {
namespace {

constexpr std::size_t most_votes_from = 4000; // contacts a camera; more say nothing new
constexpr std::size_t most_bins = 12;

struct Vote {
    double at_s, weight;
};

std::vector<Vote> votes_of(std::span<const Recording* const> recordings) {
    std::vector<Vote> votes;
    for (const Recording* recording : recordings)
        for (const Contact& contact : recording->contacts)
            votes.push_back({recording->began->at_s + contact.at_s, contact.confidence});
    // The surest, if there are more than enough; ties to the earlier.
    if (votes.size() > most_votes_from) {
        std::stable_sort(votes.begin(), votes.end(),
                         [](const Vote& a, const Vote& b) { return a.weight > b.weight; });
        votes.resize(most_votes_from);
    }
    return votes;
}

} // namespace

std::vector<double> full_bins(std::span<const Recording* const> ours,
                              std::span<const Recording* const> theirs) {
    std::unordered_map<long long, double> bins;
    const auto mine = votes_of(ours), other = votes_of(theirs);
    for (const Vote& a : mine)
        for (const Vote& b : other)
            bins[std::llround((b.at_s - a.at_s) / bin_s)] += a.weight * b.weight;
    const auto full = [&](long long bin) {
        const auto at = bins.find(bin);
        return at == bins.end() ? 0.0 : at->second;
    };
    std::vector<std::pair<double, long long>> order;
    for (const auto& [bin, weight] : bins)
        order.emplace_back(weight + (full(bin - 1) + full(bin + 1)) / 2, bin);
    std::sort(order.begin(), order.end(), [](const auto& a, const auto& b) {
        return a.first != b.first ? a.first > b.first : a.second < b.second;
    });
    std::vector<double> middles;
    for (const auto& [weight, bin] : order) {
        if (middles.size() == most_bins) break;
        const double middle_s = static_cast<double>(bin) * bin_s;
        if (std::none_of(middles.begin(), middles.end(),
                         [&](double fuller) { return std::abs(fuller - middle_s) < 1.5 * bin_s; }))
            middles.push_back(middle_s);
    }
    return middles;
}

} // namespace downball::clocks
