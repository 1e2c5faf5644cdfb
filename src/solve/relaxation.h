// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/matching.h"
#include "solve/steps.h"

#include <optional>
#include <vector>

namespace downball::solve {

// Lagrangian relaxation: the rows are priced instead of kept, and what is left is a longest path over a
// layered graph, slot by slot, whose state is the clip last shown; so the pair terms are exact. What the
// path leaves open (leads, the place inside a cutaway, order of reactions) is decided in the relaxation's
// favour. Hence for all prices >= 0 `bound` is at least the score of every cut that keeps the limits and
// shows only plays that are let in (Geoffrion 1974).
class Relaxation {
  public:
    Relaxation(const Setting& setting, const Rows& rows, const Arcs& arcs, const Steps& steps)
        : setting_(setting), rows_(rows), arcs_(arcs), steps_(steps), charges_(setting, rows) {}

    // By slot, the plays that may hang there, ascending.
    void let_in(std::vector<std::vector<std::uint32_t>> plays);
    const std::vector<std::vector<std::uint32_t>>& let_in() const { return let_in_; }

    struct Answer {
        bool possible = false; // is there any path at all?
        double bound = 0;
        std::vector<double> excess; // per row: uses - most; the direction in which prices should move
    };
    Answer solve(const std::vector<double>& prices);

    // At the last prices: what one use of the play costs, without contacts passed later and its length.
    double use_price(std::size_t play) const { return charges_.use(play); }
    // After solve(): the most that the shots before this slot can bring if the shot that hangs there shows
    // this clip; pair and slot costs of the clip included, nothing else of it.
    double reach(std::size_t slot, std::size_t clip, bool first) const;
    // What the shot brings at the last prices with its least need.
    double worth(std::size_t play, std::size_t slot, const Arc& arc) const;
    // After look_ahead(): the most that a shot of this play, hung there, and all after it can bring, but for
    // what its mere start costs (prices of one use, the cut into it).
    double ahead(std::size_t play, std::size_t slot) const;
    void look_ahead(const std::vector<double>& prices);
    // The part of the bound that lies outside the path.
    double offset(const std::vector<double>& prices) const;
    // With the objective off, the bound tells how badly the rows conflict: below 0 = no cut keeps them all.
    void set_objective(bool on) { objective_ = on; }

  private:
    // A clip that hangs on a slot, and the ways on from it.
    struct Visit {
        std::uint32_t slot, clip;
        bool action, first;     // first: that shot opens the cut
        std::uint32_t from, to; // in hops_
        std::uint32_t kin_from = 0, kin_to = 0;
    };
    struct Hop {
        double gain, length;
        std::uint32_t play, passed;
        std::uint32_t entry;
    };
    // Ready for the next shot at a slot, for an action or not, with the clip last shown.
    struct Entry {
        double value = nowhere;
        std::uint32_t hop = 0, visit = 0;
    };
    // A way into a visit from its own moment, with the weighted cost c of the cut.
    struct Kin {
        std::uint32_t entry;
        double cost;
    };

    std::size_t gate(std::size_t slot, bool action) const { return slot * 2 + (action ? 1 : 0); }
    void add_visits(std::size_t slot, bool action, bool first, std::vector<std::size_t>& gates);
    void number_entries(const std::vector<std::size_t>& gates);
    double priced(const Hop& hop) const {
        double total = -charges_.passed(hop.play, hop.passed) - charges_.frame(hop.play) * hop.length;
        return objective_ ? total + hop.gain : total;
    }
    void leave(std::uint32_t visit);
    void enter(std::size_t slot, bool action);
    Answer read_back() const;
    void list_kin();
    double unit(std::size_t slot) const { return objective_ ? setting_.grid.slots[slot].unit : 0; }
    double own_cost(const Visit& visit) const;

    const Setting& setting_;
    const Rows& rows_;
    const Arcs& arcs_;
    const Steps& steps_;
    Charges charges_;
    bool objective_ = true;
    std::vector<std::vector<std::uint32_t>> let_in_;
    std::vector<std::uint32_t> plays_; // all that are let in somewhere
    std::vector<Visit> visits_;
    std::vector<std::uint32_t> opening_, action_, plain_; // by slot: its first visit of that sort
    std::vector<Hop> hops_;
    std::vector<std::uint32_t> entry_clip_, first_entry_; // by gate
    std::vector<Entry> entries_;
    std::vector<double> after_;              // by entry
    std::vector<std::vector<double>> ahead_; // by slot, in the order of let_in_
    std::vector<Kin> kin_;
    std::vector<double> reach_;             // by visit
    std::vector<std::uint32_t> came_;       // by visit: entry
    std::optional<Matching> into_, out_of_; // of visits, of entries
    Matching::Ranked order_;
    std::vector<std::uint32_t> which_;
};

} // namespace downball::solve
