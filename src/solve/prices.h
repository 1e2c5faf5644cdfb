// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/relaxation.h"

#include <vector>

namespace downball::solve {

// Subgradient search for the prices that make the relaxation's bound least: Polyak's step towards the best
// score known, along a direction in which earlier excesses fade (Camerini, Fratta and Maffioli 1975).
class Prices {
  public:
    explicit Prices(const Rows& rows);

    // Goes on from these prices as if nothing were known of any bound.
    void restart(const std::vector<double>& from);

    const std::vector<double>& now() const { return prices_; }
    const std::vector<double>& best() const { return best_prices_; }
    double bound() const { return best_bound_; }

    // Takes the answer at now() and moves on; `target` = a score that some cut reaches, or a guess below.
    void move(const Relaxation::Answer& answer, double target);
    // All conditions kept by the relaxed path and none priced in vain: nothing is left to gain.
    bool settled() const { return settled_; }

  private:
    double ceiling(std::size_t row) const { return rows_.rows[row].price; }
    // Rows that count frames move in steps as if they counted shots of about 30 frames.
    double scale(std::size_t row) const { return rows_.rows[row].counts_frames() ? 1.0 / 900 : 1; }
    const Rows& rows_;
    std::vector<double> prices_, best_prices_, direction_;
    double best_bound_;
    double step_ = 1.0;
    int idle_ = 0;
    bool settled_ = false;
};

} // namespace downball::solve
