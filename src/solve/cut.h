// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/rows.h"

#include <vector>

namespace downball::solve {

// A placed shot inside the solver.
struct Piece {
    std::size_t play = 0;
    std::size_t slot = 0; // where it hangs
    std::int64_t in = 0, out = 0;
    std::int64_t source_in = 0;
    double error = 0; // record frames, of the anchor; see Placement for this and the next two
    std::int64_t span = 0, skew = 0;

    std::int64_t source_out(Fraction speed) const {
        return source_in + source_length(out - in, speed) + skew;
    }
    void stand(const Placement& place) {
        in = place.record_in;
        source_in = place.source_in;
        error = place.error;
        span = place.span;
        skew = place.skew;
    }
};
using Cut = std::vector<Piece>;

// Hard limits of one shot by itself: length, lead, tail, anchor, source room.
bool fits(const Setting& setting, const Piece& piece);

// Two shots that cannot both stand, `a` being the earlier: source ranges of one file overlap, one contact
// anchored twice or shown by two cameras, a reaction before an action of its moment.
bool clash(const Setting& setting, const Piece& a, const Piece& b);
// The first of these alone, and the rest; the rest needs no source of a shot without contact.
bool overlap(const Setting& setting, const Piece& a, const Piece& b);
bool contradict(const Setting& setting, const Piece& a, const Piece& b);

// Source in for a shot without contact of that record length, free of what the other pieces show; the middle
// of the take by preference. Nothing if there is no room.
std::optional<std::int64_t> free_source(const Setting& setting, std::size_t play, std::int64_t length,
                                        const Cut& others, bool middle_first = true);

// Sums of the rows that count shots or frames (not points and moments, which clash() judges).
std::vector<double> row_sums(const Setting& setting, const Rows& rows, const Cut& cut);
bool keeps_rows(const Rows& rows, const std::vector<double>& sums);
bool keeps_pins(const Setting& setting, const std::vector<Pin>& pins, const Cut& cut);

Values cut_values(const Setting& setting, const Cut& cut);
double cut_score(const Setting& setting, const Cut& cut);

CutPlan to_plan(const Setting& setting, const Cut& cut);
Cut from_plan(const Setting& setting, const CutPlan& plan);

} // namespace downball::solve
