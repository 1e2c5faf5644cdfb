// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/construct.h"

#include <optional>

namespace downball::solve {

// Looks through all cuts that may score more than the best one known, from the last shot to the first, depth
// first; the relaxation's values bound what the shots before can bring. If the work allowed suffices, the
// answer is final: the cut is the best there is, or there is none. The relaxation must let in all plays.
class Closing {
  public:
    Closing(const Setting& setting, const Rows& rows, const Arcs& arcs, const QualityTable& qualities,
            const Steps& steps, Relaxation& relaxation, const Constructor& constructor,
            const std::vector<Pin>& pins)
        : setting_(setting), rows_(rows), arcs_(arcs), qualities_(qualities), steps_(steps),
          relaxation_(relaxation), constructor_(constructor), pins_(pins) {}

    struct Answer {
        std::optional<Cut> cut; // better than the one known
        double score = 0;
        bool final = false;
    };
    // `work` = steps that may be looked at. With `any`, the first cut ends the search.
    Answer run(const std::vector<double>& prices, std::optional<double> known, double work, bool any);

  private:
    struct Before {
        const Arc* arc = nullptr;
        std::size_t slot = 0;
        bool action = false, first = false;
    };
    struct Choice {
        double bound = 0;
        const Before* before = nullptr;
        std::size_t play = 0;
    };
    void list_arcs();
    void descend(std::size_t at, bool action, double value);
    void place(const Choice& choice, std::int64_t out, double value);
    bool allowed(const Piece& piece) const;
    double priced_value(const Piece& piece, const Arc& arc) const;
    void complete();
    bool give_sources(Cut& cut, bool packed) const;
    double bar() const { return best_ + 1e-9; }

    const Setting& setting_;
    const Rows& rows_;
    const Arcs& arcs_;
    const QualityTable& qualities_;
    const Steps& steps_;
    Relaxation& relaxation_;
    const Constructor& constructor_;
    const std::vector<Pin>& pins_;
    std::vector<std::vector<Before>> into_; // by target slot x 2 + action
    std::vector<double> prices_;
    double offset_ = 0, best_ = 0, left_ = 0;
    bool any_ = false, stop_ = false, unsure_ = false;
    Cut suffix_; // last shot first
    Answer answer_;
};

} // namespace downball::solve
