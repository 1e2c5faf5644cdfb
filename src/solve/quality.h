// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/rows.h"

#include <vector>

namespace downball::solve {

// Weighted quality of each play on each slot at its best placement, rounded up; below 0 = cannot hang there.
class QualityTable {
  public:
    QualityTable(const Setting& setting, const std::vector<Pin>& pins);

    double at(std::size_t play, std::size_t slot) const {
        return static_cast<double>(table_[slot * plays_ + play]);
    }
    // All plays on one slot.
    const float* on(std::size_t slot) const { return table_.data() + slot * plays_; }

  private:
    std::size_t plays_;
    std::vector<float> table_;
};

} // namespace downball::solve
