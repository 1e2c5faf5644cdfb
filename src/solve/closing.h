// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/construct.h"

#include <map>
#include <optional>

namespace downball::solve {

// Looks through all cuts that may score more than the best one known, or for any cut at all, from the last shot
// to the first, depth first; the relaxation's values bound what the shots before can bring, and how much of each
// row they must or can use. If the work allowed suffices, the answer is final: the cut is the best there is, or
// there is none. Only plays that the relaxation lets in are looked at.
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
        double steps = 0; // that were looked at
    };
    // `work` = steps that may be looked at.
    Answer best(const std::vector<double>& prices, std::optional<double> known, double work);
    // The first cut that is come by; prices as they were found with the objective off. Seed 0 looks at what promises
    // most first, others at anything: bad luck at the start takes long to leave.
    Answer any(const std::vector<double>& prices, double work, std::uint64_t seed);

  private:
    struct Before {
        const Arc* arc = nullptr;
        std::size_t slot = 0;
        bool action = false, first = false;
    };
    // A shot that may stand before a gate; `value` bounds what it and all before it can bring.
    struct Choice {
        double value = 0;
        Before before;
        std::size_t play = 0;
        std::int64_t need = 0, most = 0; // record frames from its slot to its out
    };
    // A row, or a sum of rows each with its weight, and the least that the shots before a clip's shot on a slot
    // use of it.
    struct Least {
        std::vector<RowUse> of; // by row
        double most = 0;
        std::vector<double> before;
    };
    // Suffixes before which nothing can stand: what they show of their files, and use of the rows.
    struct Failure {
        std::vector<std::int64_t> shown;
        std::vector<double> used;
    };
    // What of a shot other shots have to mind, besides that it is there.
    enum class Minds { nothing, source, place };
    Answer run(const std::vector<double>& prices, double bar, double work);
    void list_choices();
    bool shuffled() const { return seed_ > 0; }
    void order_choices();
    void list_least();
    void list_joint(std::size_t row);
    void add_least(std::vector<RowUse> of);
    void list_minds();
    void descend(std::size_t at, bool action, double value);
    void place(const Choice& choice, std::int64_t out, double value);
    bool allowed(const Piece& piece) const;
    bool rows_can_be_kept(const Before& before, std::size_t clip) const;
    void count(const Piece& piece, int sign);
    double used(const Least& least) const;
    double burden(const Least& least) const;
    bool minded(std::size_t play) const;
    bool known_to_fail(const Before& before);
    double priced_value(const Piece& piece, const Arc& arc) const;
    void complete();
    std::size_t start(std::size_t slot, std::size_t clip, bool first) const {
        return (slot * setting_.stock.clips.size() + clip) * 2 + (first ? 1 : 0);
    }
    double bar() const { return best_ + 1e-9; }

    const Setting& setting_;
    const Rows& rows_;
    const Arcs& arcs_;
    const QualityTable& qualities_;
    const Steps& steps_;
    Relaxation& relaxation_;
    const Constructor& constructor_;
    const std::vector<Pin>& pins_;
    std::vector<std::vector<Choice>> into_; // by target slot x 2 + action, the most promising first
    std::vector<double> reach_;             // by start
    std::vector<Least> least_;
    std::vector<double> prices_, sums_;              // by row
    std::vector<int> hung_;                          // by play: the suffix hangs by its contact
    std::vector<Minds> minds_;                       // by play
    std::vector<std::vector<std::uint32_t>> rivals_; // by play: those that have to mind what it shows
    double best_ = 0, left_ = 0;
    std::uint64_t seed_ = 0;
    bool any_ = false, stop_ = false, unsure_ = false;
    Cut suffix_; // last shot first
    std::map<std::vector<std::int64_t>, std::vector<Failure>>
        failed_; // by where they begin and with which shots
    std::size_t failures_ = 0;
    Answer answer_;
};

} // namespace downball::solve
