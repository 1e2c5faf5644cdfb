// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/counts.h"
#include "solve/dice.h"
#include "solve/quality.h"
#include "solve/rows.h"

#include <array>
#include <span>
#include <vector>

namespace downball::solve {

inline constexpr std::size_t most_shots = 4; // that give way at once, or that come

// Shots [at, at + removed) of a cut give way to others, of which play and slot are told.
struct Edit {
    std::size_t at = 0, removed = 0, count = 0;
    std::array<Piece, most_shots> shots;

    Edit() = default;
    Edit(std::size_t from, std::size_t many) : at(from), removed(many) {}
    void add(std::size_t play, std::size_t slot) {
        shots[count] = Piece{};
        shots[count].play = play;
        shots[count++].slot = slot;
    }
};

// A cut that keeps all limits, and keeps them while some of its shots give way to others. Knows what each shot is
// worth, so that most edits are seen to be too poor before anything else is asked of them.
class EditedCut {
  public:
    EditedCut(const Setting& setting, const Rows& rows, const QualityTable& qualities,
              const std::vector<Pin>& pins, const Cut& start);

    const Cut& cut() const { return cut_; }
    double score() const { return score_; }
    // The first shot outside [from, to) that holds a contact of this play; the number of shots if there is none.
    std::size_t holder_of(std::size_t play, std::size_t from = 0, std::size_t to = 0) const;

    // Does a shot hold a contact of this play?
    bool holds(std::size_t play) const;
    // What a play would bring on a slot, about; and what the cuts between it and these neighbours, of which either
    // may be open, would cost.
    double alone(std::size_t play, std::size_t slot) const {
        return setting_.grid.slots[slot].unit * qualities_.at(play, slot);
    }
    double joins(std::size_t play, std::size_t slot, const Piece* before, const Piece* after) const;

    // One edit, or two in order with at least two shots between them. Makes them if the limits allow and they
    // win more points than `bar`, which is not above 0.
    bool change(std::span<Edit> edits, double bar, Dice& dice);

  private:
    // What of the score lies with a shot, but for coverage and freshness, and with the cut into it.
    struct Worth {
        double quality = 0, hang = 0, join = 0;
    };
    const Play& play_of(const Piece& piece) const { return setting_.stock.plays[piece.play]; }
    std::size_t slot_after(std::size_t n) const {
        return n < cut_.size() ? cut_[n].slot : setting_.grid.slots.size();
    }
    std::int64_t in_of(std::size_t n) const { return n < cut_.size() ? cut_[n].in : setting_.grid.length; }
    double exact_quality(const Piece& piece) const;
    double hang(const Piece& piece, double quality, std::size_t to, bool first) const;
    double join(const Piece* before, const Piece& piece) const;
    double span_value(std::size_t slot, std::size_t to, bool slow, bool first, double quality) const;
    double points(std::span<const Edit> edits, bool placed);
    double most_by_numbers(std::span<const Edit> edits) const;
    double count(std::span<const Edit> edits);
    bool place(Edit& edit, Dice& dice);
    bool begin(Piece& piece, Piece* before, std::int64_t liked, Dice& dice);
    void put_in(const Edit& edit);
    void take_over(const Edit& edit);
    bool stand(std::span<const Edit> edits);
    bool stands(std::size_t n);
    bool keeps_numbers();
    void watch_rows();
    void note_contacts(const Piece& piece, int by);

    const Setting& setting_;
    const Rows& rows_;
    const QualityTable& qualities_;
    const std::vector<Pin>& pins_;
    bool chronological_;
    Cut cut_, same_file_;
    std::vector<Worth> worth_; // by shot
    Counts counts_;
    double score_;
    std::size_t reach_ = 0; // slots from a shot's own to the next one's, at most
    std::vector<std::array<double, 3>>
        spans_; // by slot and slots to the next: share, points for pace real and slow
    std::vector<std::size_t> first_contact_; // by clip: place of its contacts in shown_
    std::vector<int> shown_;                 // by contact: shots that hold it
    std::vector<std::size_t> watched_;       // by row: place in sums_, from 1; 0 = not watched
    std::vector<double> sums_, most_;
};

} // namespace downball::solve
