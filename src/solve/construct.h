// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/relaxation.h"

#include <optional>
#include <vector>

namespace downball::solve {

struct BeamWidth {
    std::size_t labels = 16; // partial cuts extended on a slot
    std::size_t plays = 24;  // next shots tried after each, on a slot
};

// Builds cuts that keep all limits, slot by slot: a beam of partial cuts whose shots already stand with lead
// and source. The prices of the relaxation tell what a contact would be worth elsewhere.
class Constructor {
  public:
    Constructor(const Setting& setting, const Rows& rows, const Arcs& arcs, const QualityTable& qualities,
                const Steps& steps, Relaxation& relaxation, const std::vector<Pin>& pins)
        : setting_(setting), rows_(rows), arcs_(arcs), qualities_(qualities), steps_(steps),
          relaxation_(relaxation), pins_(pins) {}

    void set_prices(const std::vector<double>& prices);

    // The best cut found, if any. Cuts that break a condition only by having too little of something (a quota, a
    // must) land in `nearly` if it is given.
    std::optional<Cut> build(BeamWidth width, std::optional<Cut>* nearly = nullptr) const;

    // Plays that can hang on a slot, the most promising first.
    const std::vector<std::uint32_t>& actions_on(std::size_t slot) const { return actions_[slot]; }
    const std::vector<std::uint32_t>& plains_on(std::size_t slot) const { return plains_[slot]; }

    // All hard limits of a whole cut.
    bool keeps_all(const Cut& cut) const;

  private:
    friend class Beam;
    const Setting& setting_;
    const Rows& rows_;
    const Arcs& arcs_;
    const QualityTable& qualities_;
    const Steps& steps_;
    Relaxation& relaxation_;
    const std::vector<Pin>& pins_;
    std::vector<double> prices_;
    std::vector<std::vector<std::uint32_t>> actions_, plains_; // plays by slot, the most promising first
};

} // namespace downball::solve
