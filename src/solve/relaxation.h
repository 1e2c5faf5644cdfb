// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/arcs.h"

#include <vector>

namespace downball::solve {

// Lagrangian relaxation: the rows are priced instead of kept, and what is left is a longest path over a
// layered graph, slot by slot, whose state is the clip last shown; so the pair terms are exact. What the
// path leaves open (leads, the place inside a cutaway, order of reactions) is decided in the relaxation's
// favour. Hence for all prices >= 0 `bound` is at least the score of every cut that keeps the limits
// (Geoffrion 1974).
class Relaxation {
  public:
    Relaxation(const Setting& setting, const Rows& rows, const Arcs& arcs, const std::vector<Pin>& pins);

    struct Step {
        std::size_t play = 0, slot = 0;
        std::int64_t need = 0; // of the arc it left by, raised by the clip's own front
    };
    struct Answer {
        bool possible = false; // is there any path at all?
        double bound = 0;
        std::vector<Step> path;
        std::vector<double> excess; // per row: uses - most; the direction in which prices should move
    };
    Answer solve(const std::vector<double>& prices);

    // Weighted quality of a play on a slot at its best placement; below 0 = cannot hang there.
    double quality_at(std::size_t play, std::size_t slot) const {
        return static_cast<double>(quality_[play * slots_ + slot]);
    }
    // What one use of the play costs at these prices, without contacts passed later and without its length.
    std::vector<double> use_prices(const std::vector<double>& prices) const;
    double passed_price(const std::vector<double>& prices, std::size_t play, std::int64_t need) const;
    // After solve(): the most that the shots before this slot can bring if the shot that hangs there shows
    // this clip; pair and slot costs of the clip included, nothing else of it.
    double reach(std::size_t slot, std::size_t clip, bool first) const;
    // What the shot brings at the last prices: with its least need, or as it stands when its out is known.
    double worth(std::size_t play, std::size_t slot, const Arc& arc) const;
    // After look_ahead(): the most that a shot of this play, hung there, and all after it can bring, but for
    // what its mere start costs (prices of one use, the cut into it).
    double ahead(std::size_t play, std::size_t slot) const {
        return static_cast<double>(ahead_[play * slots_ + slot]);
    }
    void look_ahead(const std::vector<double>& prices);
    // The part of the bound that lies outside the path.
    double offset(const std::vector<double>& prices) const;
    // With the objective off, the bound tells how badly the rows conflict: below 0 = no cut keeps them all.
    void set_objective(bool on) { objective_ = on; }

  private:
    struct Entry {
        double value;
        std::uint32_t slot, play;
        bool first; // that shot opens the cut
    };
    void set_prices(const std::vector<double>& prices);
    void prepare_quality(const std::vector<Pin>& pins);
    std::int64_t need_of(const Play& play, const Arc& arc) const;
    double shortest_length(const Play& play, std::int64_t need) const;
    double stay(std::size_t play, std::size_t slot, const Arc& arc) const;
    double best_after(std::size_t slot, std::size_t before,
                      const std::vector<std::pair<double, std::uint32_t>>& starts) const;
    void extend(std::size_t slot, std::size_t clip, bool first);
    void enter(std::size_t slot, bool action);
    Answer read_back() const;
    Entry& entry(std::size_t slot, bool action, std::size_t clip) {
        return entries_[(slot * 2 + (action ? 1 : 0)) * clips_ + clip];
    }
    const Entry& entry(std::size_t slot, bool action, std::size_t clip) const {
        return entries_[(slot * 2 + (action ? 1 : 0)) * clips_ + clip];
    }

    const Setting& setting_;
    const Rows& rows_;
    const Arcs& arcs_;
    std::size_t slots_, clips_;
    bool objective_ = true;
    std::vector<float> quality_;      // rounded up
    std::vector<Entry> entries_;      // best way to be at a slot, ready for an action or not, last clip shown
    std::vector<double> reach_;       // by slot and clip, not as the opening shot
    std::vector<float> ahead_;        // by play and slot
    std::vector<std::uint32_t> came_; // clip before, by slot and clip
    std::vector<double> prices_, use_price_, frame_price_;
    std::vector<std::pair<double, std::uint32_t>> order_;
};

} // namespace downball::solve
