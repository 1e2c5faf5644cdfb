// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/steps.h"

#include <array>
#include <cstdint>
#include <vector>

namespace downball::solve {

// What may hang on each slot out of the whole stock, by sort, what promises most at given prices first: a shot of
// the wanted length there, or a rally as long as it lasts, less what its contacts and its take cost.
class Offers {
  public:
    enum Sort { plain, single, rally, sorts };

    Offers(const Setting& setting, const Rows& rows, const QualityTable& qualities, const Steps& steps,
           const std::vector<double>& prices);

    const std::vector<std::uint32_t>& on(std::size_t slot, Sort sort) const { return lists_[sort][slot]; }
    bool has_rallies() const { return has_rallies_; }

  private:
    std::array<std::vector<std::vector<std::uint32_t>>, sorts> lists_; // of plays
    bool has_rallies_ = false;
};

} // namespace downball::solve
