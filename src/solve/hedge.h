// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/relaxation.h"

#include <vector>

namespace downball::solve {

// Prices of the hard rows, summing up to 1, that prove that no cut keeps them all, where the relaxation can prove
// it: a game between the rows and the relaxed paths, in which rows that were broken more gain weight
// (multiplicative weights: Freund and Schapire 1999, "Adaptive game playing").
class Hedge {
  public:
    explicit Hedge(const Rows& rows);

    const std::vector<double>& now() const { return prices_; }
    const std::vector<double>& best() const { return best_prices_; } // of the least bound
    // Takes the relaxation's answer at now(), with the objective off, and moves on.
    void move(const Relaxation::Answer& answer);

  private:
    // A row that counts frames weighs as if it counted shots of about 30 frames.
    double scale(std::size_t row) const { return rows_.rows[row].counts_frames() ? 30 : 1; }
    void weigh(double rate);

    const Rows& rows_;
    std::vector<double> prices_, best_prices_, broken_; // broken_: by how much, summed up
    double best_bound_;
    int rounds_ = 0;
};

} // namespace downball::solve
