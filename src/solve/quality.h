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
    // Record frames from there to the beat of the last contact held; 0 but for rallies that can hang there.
    std::int64_t span(std::size_t play, std::size_t slot) const {
        return rally_[play] == no_rally ? 0 : spans_[slot * rallies_ + rally_[play]];
    }
    // All plays on one slot.
    const float* on(std::size_t slot) const { return table_.data() + slot * plays_; }

  private:
    void fill(const Setting& setting, const std::vector<Pin>& pins, std::size_t from,
              std::size_t to); // plays

    static constexpr std::uint32_t no_rally = ~0U;
    std::size_t plays_, rallies_ = 0;
    std::vector<float> table_;
    std::vector<std::uint32_t> rally_; // by play: its number among those that hold more than one contact
    std::vector<std::uint16_t> spans_;
};

} // namespace downball::solve
