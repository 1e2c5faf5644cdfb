// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/construct.h"

#include <optional>
#include <vector>

namespace downball::solve {

// One run of the beam; see Constructor::build.
class Beam {
  public:
    Beam(const Constructor& maker, BeamWidth width);
    std::optional<Cut> run(std::optional<Cut>* nearly);

  private:
    struct Label {
        Piece piece; // its out is not known yet
        double value = 0;
        int parent = -1;
        Piece finished; // the parent's piece with its out
        bool first = false;
        std::size_t kind = 0; // of those of one kind on a slot the best is kept
    };

    double promise(const Label& label) const;
    void foresee();
    // All cuts pass through a pinned shot: they stay different by the last shot that was free.
    std::size_t kind_after(const Label& label, std::size_t play) const {
        return pinned_[play] ? label.kind : setting_.stock.plays[play].clip;
    }
    bool leaves_pinned(const Piece& piece) const;
    bool in_order(std::size_t before, std::size_t play) const;
    void add_roots();
    void extend(int index);
    void gather(int index);
    bool finish(Piece& piece, std::int64_t out) const;
    double finished_value(const Piece& piece, const Arc& arc) const;
    bool start(std::size_t play, std::size_t slot, std::optional<std::size_t> before, double& value) const;
    bool starts_where_pinned(std::size_t play, std::int64_t in, std::int64_t source_in) const;
    void try_actions(int index, const Arc& arc);
    void try_plains(int index, const Arc& arc);
    void close(int index);
    void offer(const Label& label);
    void note_contacts(bool shown);
    std::optional<Placement> place(std::size_t play, std::size_t slot, std::int64_t record_in) const;

    const Constructor& maker_;
    const Setting& setting_;
    const Rows& rows_;
    BeamWidth width_;
    std::vector<std::int64_t> leads_; // in the order they are tried
    std::vector<Label> labels_;
    std::vector<std::vector<int>> buckets_; // labels by slot
    std::vector<double> best_;              // by slot and kind
    std::vector<int> holder_;               // the label that has it
    std::vector<Cut>
        coming_; // by pin whose place and source are settled: its shot in all ways, as short as may be
    std::vector<char> pinned_; // by play: is it one of these?

    // What the cut under extension shows so far.
    Cut pieces_;
    std::vector<std::size_t> near_; // those of the same file or moment as the shot under extension
    Cut same_file_;                 // those of the same file
    std::vector<double> sums_;
    std::vector<char> anchored_; // by play: its contact is anchored already

    std::optional<Cut> found_, nearly_;
    double found_score_ = 0, nearly_lack_ = 0;
};

} // namespace downball::solve
