// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/matching.h"
#include "solve/steps.h"

#include <vector>

namespace downball::solve {

// The relaxation's path problem over all plays, from the last slot to the first. Much of the stock is passed
// over by an upper estimate: what cannot begin better than what is known after any clip.
class Survey {
  public:
    Survey(const Setting& setting, const Rows& rows, const Arcs& arcs, const Steps& steps,
           const QualityTable& qualities);

    // The value of the best path at these prices, or a little more, without the relaxation's offset;
    // -infinity if there is none. With the objective off, prices alone count.
    double run(const std::vector<double>& prices, bool objective = true);

    // After run(): by slot, the plays that begin best there, the best first, about so many of each sort.
    const std::vector<std::vector<std::uint32_t>>& best() const { return best_; }
    void keep(std::size_t actions, std::size_t plains) { keep_[1] = actions, keep_[0] = plains; }
    // How often the number of plays that are looked at closely on a slot may double; less is looser.
    void look_closely(int doublings) { doublings_ = doublings; }

  private:
    struct Start {
        double value;
        std::uint32_t play;
    };
    using Estimates = std::vector<std::pair<double, std::uint32_t>>;
    Estimates::iterator may_matter(const std::vector<double>& known, std::size_t slot,
                                   Estimates::iterator from);
    void concede(std::vector<double>& known, std::size_t slot, Estimates::iterator from);
    void rank(std::size_t slot, bool action);
    void estimate(std::size_t slot, bool action);
    double whole(std::size_t play, std::size_t slot, bool first) const;
    void add_start(std::size_t play, std::size_t slot);
    void settle(std::size_t slot, bool action);
    void open(std::size_t slot, bool action);
    std::vector<double>& after(std::size_t slot, bool action) { return after_[slot * 2 + (action ? 1 : 0)]; }
    const std::vector<double>& after(std::size_t slot, bool action) const {
        return after_[slot * 2 + (action ? 1 : 0)];
    }

    const Setting& setting_;
    const Arcs& arcs_;
    const Steps& steps_;
    const QualityTable& qualities_;
    std::size_t slots_, clips_;
    Charges charges_;
    bool objective_ = true;
    std::size_t keep_[2] = {16, 48};
    std::vector<std::uint32_t> all_, sorts_[2]; // plays
    std::vector<std::uint32_t> clip_of_;        // by play; beside them, since they are read for every play on
    std::vector<std::uint8_t> slow_;            // every slot
    std::vector<double> least_use_;             // by play: of one use, with the contacts it always shows
    std::vector<std::vector<double>> after_;    // by gate and clip
    std::vector<double> most_after_;            // by gate: the greatest
    Matching matching_;
    std::vector<std::uint32_t> which_;
    std::vector<double> leaving_; // by clip: cost of any cut from it to another moment
    Estimates estimates_, openings_;
    std::vector<Start> starts_;
    std::vector<double> by_clip_, bars_; // on the slot in hand: the best start, and below what none matters
    std::vector<bool> risen_;            // by clip: has a better start than what is settled;
    std::vector<std::uint32_t> rising_;  // those clips
    Matching::Ranked order_;
    std::vector<std::vector<std::uint32_t>> best_;
    int doublings_ = 2;
    double found_ = nowhere;
};

} // namespace downball::solve
