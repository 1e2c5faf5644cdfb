// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace downball::dsp {

// Where in a run of short energy cells something begins. rise(j) compares the cells from j on with those
// before j, as a log ratio, so that the answer is the start of a rise and not its peak, whatever its level.
class RiseCurve {
  public:
    // `after` cells, the first counting most, against the mean of `before` cells; `floor` is the energy of a
    // cell under which nothing counts as a rise.
    RiseCurve(std::span<const float> energy, std::size_t after, std::size_t before, double floor);

    std::size_t size() const { return rise_.size(); }
    float operator[](std::size_t cell) const { return rise_[cell]; } // >= 0

  private:
    std::vector<float> rise_;
};

} // namespace downball::dsp
