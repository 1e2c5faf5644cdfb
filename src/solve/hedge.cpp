// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/hedge.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace downball::solve {

Hedge::Hedge(const Rows& rows)
    : rows_(rows), prices_(rows.rows.size()), broken_(prices_.size()),
      best_bound_(std::numeric_limits<double>::infinity()) {
    weigh(0);
    best_prices_ = prices_;
}

void Hedge::weigh(double rate) {
    double most = -std::numeric_limits<double>::infinity(), sum = 0;
    for (std::size_t r = 0; r < prices_.size(); ++r)
        if (!rows_.rows[r].soft()) most = std::max(most, broken_[r]);
    for (std::size_t r = 0; r < prices_.size(); ++r) {
        prices_[r] = rows_.rows[r].soft() ? 0 : std::exp(rate * (broken_[r] - most));
        sum += prices_[r];
    }
    for (std::size_t r = 0; r < prices_.size() && sum > 0; ++r)
        prices_[r] /= sum * scale(r);
}

void Hedge::move(const Relaxation::Answer& answer) {
    if (answer.bound < best_bound_) {
        best_bound_ = answer.bound;
        best_prices_ = prices_;
    }
    for (std::size_t r = 0; r < prices_.size(); ++r)
        broken_[r] += answer.excess[r] / scale(r);
    weigh(2 / std::sqrt(static_cast<double>(++rounds_)));
}

} // namespace downball::solve
