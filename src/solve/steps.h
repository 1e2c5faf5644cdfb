// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/arcs.h"
#include "solve/quality.h"

#include <limits>
#include <vector>

namespace downball::solve {

constexpr double nowhere = -std::numeric_limits<double>::infinity();

// What a shot that hangs on a slot and leaves by an arc brings and takes up in the relaxation: what a whole
// cut leaves open (leads, the place inside a cutaway) is decided in its favour.
class Steps {
  public:
    Steps(const Setting& setting, const Rows& rows, const QualityTable& qualities)
        : setting_(setting), rows_(rows), qualities_(qualities) {}

    // Least record frames from the contact to the out; nothing if the shot cannot leave by this arc.
    std::optional<std::int64_t> need(std::size_t play, std::size_t slot, const Arc& arc) const;
    std::int64_t shortest_length(const Play& play, std::int64_t need) const;
    // Points, but for the prices and for what its mere start costs.
    double gain(std::size_t play, std::size_t slot, const Arc& arc) const;
    // Points that the opening shot brings and costs by opening.
    double opening(std::size_t slot, std::size_t clip) const;
    // How many of Rows::passed_by are shown with this need, or so long after the last contact held.
    std::size_t passed(std::size_t play, std::size_t slot, std::int64_t need) const {
        return passed_after(play, need - qualities_.span(play, slot));
    }
    std::size_t passed_after(std::size_t play, std::int64_t frames) const;
    double passed_price(const std::vector<double>& prices, std::size_t play, std::int64_t frames) const;

  private:
    const Setting& setting_;
    const Rows& rows_;
    const QualityTable& qualities_;
};

// Prices of the rows, summed up for some plays: what one use, one frame, and the contacts passed cost.
class Charges {
  public:
    Charges(const Setting& setting, const Rows& rows) : setting_(setting), rows_(rows) {}
    void set(const std::vector<double>& prices, const std::vector<std::uint32_t>& plays);

    double use(std::size_t play) const { return use_[play]; }
    double frame(std::size_t play) const { return frame_[play]; }
    // Of the first n of Rows::passed_by.
    double passed(std::size_t play, std::size_t n) const { return passed_[first_[play] + n]; }

  private:
    const Setting& setting_;
    const Rows& rows_;
    std::vector<double> use_, frame_, passed_;
    std::vector<std::size_t> first_; // by play: place in passed_
};

} // namespace downball::solve
