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

// Weights by bin. Of a day or a few they lie in one row, which is found faster than a place in a table.
class Bins {
  public:
    Bins(const std::vector<Vote>& ours, const std::vector<Vote>& theirs) {
        constexpr long long most_in_row = 1 << 20; // of 4 s: 48 days
        if (ours.empty() || theirs.empty()) return;
        const auto [a, z] = std::ranges::minmax(ours, {}, &Vote::at_s);
        const auto [b, y] = std::ranges::minmax(theirs, {}, &Vote::at_s);
        first_ = bin_of(z, b);
        const long long count = bin_of(a, y) - first_ + 1;
        if (count <= most_in_row) row_.assign(static_cast<std::size_t>(count), unvoted);
    }

    static long long bin_of(const Vote& ours, const Vote& theirs) {
        return std::llround((theirs.at_s - ours.at_s) / bin_s);
    }

    void add(long long bin, double weight) {
        double& known = row_.empty() ? table_[bin] : row_[static_cast<std::size_t>(bin - first_)];
        known = std::max(known, 0.0) + weight;
    }

    double of(long long bin) const {
        if (row_.empty()) {
            const auto at = table_.find(bin);
            return at == table_.end() ? 0.0 : at->second;
        }
        const long long place = bin - first_;
        if (place < 0 || place >= static_cast<long long>(row_.size())) return 0;
        return std::max(row_[static_cast<std::size_t>(place)], 0.0);
    }

    // Those that were voted for, in no order.
    std::vector<long long> voted() const {
        std::vector<long long> bins;
        for (const auto& [bin, weight] : table_)
            bins.push_back(bin);
        for (std::size_t i = 0; i < row_.size(); ++i)
            if (row_[i] != unvoted) bins.push_back(first_ + static_cast<long long>(i));
        return bins;
    }

  private:
    static constexpr double unvoted = -1;
    long long first_ = 0;
    std::vector<double> row_;
    std::unordered_map<long long, double> table_; // where the row would be too long
};

} // namespace

std::vector<double> full_bins(std::span<const Recording* const> ours,
                              std::span<const Recording* const> theirs) {
    const auto mine = votes_of(ours), other = votes_of(theirs);
    Bins bins(mine, other);
    for (const Vote& a : mine)
        for (const Vote& b : other)
            bins.add(Bins::bin_of(a, b), a.weight * b.weight);
    std::vector<std::pair<double, long long>> order;
    for (const long long bin : bins.voted())
        order.emplace_back(bins.of(bin) + (bins.of(bin - 1) + bins.of(bin + 1)) / 2, bin);
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
