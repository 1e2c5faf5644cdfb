// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/prices.h"

#include <algorithm>
#include <cmath>

namespace downball::solve {
namespace {

constexpr double faded = 0.7; // what earlier excesses weigh
constexpr int patience = 8;   // rounds without a better bound before steps get shorter
constexpr double shorter = 0.7;

} // namespace

Prices::Prices(const Rows& rows)
    : rows_(rows), prices_(rows.rows.size()), best_prices_(prices_), direction_(prices_.size()),
      best_bound_(std::numeric_limits<double>::infinity()) {}

void Prices::restart(const std::vector<double>& from) {
    prices_ = best_prices_ = from;
    std::fill(direction_.begin(), direction_.end(), 0);
    best_bound_ = std::numeric_limits<double>::infinity();
    step_ = std::max(step_, 0.3);
    idle_ = 0;
    settled_ = false;
}

void Prices::move(const Relaxation::Answer& answer, double target) {
    if (answer.bound < best_bound_ - 1e-9) {
        bool real = answer.bound < best_bound_ - 1e-4 * std::abs(best_bound_);
        best_bound_ = answer.bound;
        best_prices_ = prices_;
        idle_ = real ? 0 : idle_ + 1;
    } else
        ++idle_;
    if (idle_ >= patience) {
        step_ *= shorter;
        idle_ = 0;
        prices_ = best_prices_;
        std::fill(direction_.begin(), direction_.end(), 0);
        if (step_ < 1e-4) settled_ = true;
        return;
    }
    // Only what can move counts: a price at 0 whose row has slack stays, so does one at its ceiling.
    double square = 0;
    for (std::size_t r = 0; r < prices_.size(); ++r) {
        double wish = answer.excess[r] + faded * direction_[r];
        if (ceiling(r) <= 0 || (prices_[r] <= 0 && wish < 0) || (prices_[r] >= ceiling(r) && wish > 0))
            wish = 0;
        direction_[r] = wish;
        square += wish * wish * scale(r);
    }
    double distance = answer.bound - target;
    if (square <= 1e-12 || distance <= 1e-9) {
        settled_ = true;
        return;
    }
    double length = step_ * distance / square;
    for (std::size_t r = 0; r < prices_.size(); ++r) {
        prices_[r] = std::clamp(prices_[r] + length * scale(r) * direction_[r], 0.0, ceiling(r));
    }
}

} // namespace downball::solve
