// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/stock.h"

#include <array>
#include <vector>

namespace downball::solve {

// Indices of the soft terms, in the order of solve/terms.h.
namespace term {
enum : std::size_t {
    sync,
    accent,
    confidence,
    rating,
    pace,
    variety,
    reaction,
    spread,
    chronology,
    side,
    story,
    coverage,
    fresh,
    count
};
}
using Values = std::array<double, term::count>;

// Problem, grid and stock together with the weights that are in force.
struct Setting {
    const Problem& problem;
    Grid grid;
    Stock stock;
    Values weight{};
    std::vector<double> pair_table; // pair_bound() of clip x clip; empty when there are too many
    std::vector<double> opening;    // weighted costs of opening with a clip

    const Take& take_of(const Clip& clip) const { return problem.log.takes[clip.take]; }
    const Clip& clip_of(const Play& play) const { return stock.clips[play.clip]; }
};

Setting make_setting(const Problem& problem);

// The formulas of solve/terms.h. `first` tells the opening shot, which spans from frame 0.
double sync_value(double error_frames);
double accent_value(const Slot& slot, const Play& play);
double rating_value(int rating);
double pace_value(const Slot& slot, bool slow, double span);
double border_error(const Slot& slot); // of a shot hung on its own first frame

// share-free weighted sum of sync, accent, confidence and rating.
double quality(const Setting& setting, const Play& play, const Slot& slot, double error_frames);

// Costs c of a cut between two shots, unweighted; `before` is null for the opening shot.
Values pair_costs(const Setting& setting, const Play* before, const Play& after);
double pair_cost(const Setting& setting, std::size_t before, std::size_t after); // weighted sum, of plays
// The least that a cut between any shots of two clips costs; infinite if none may follow.
double pair_bound(const Setting& setting, std::size_t before, std::size_t after);

// Does `b` lie before `a` in the day, or, in one moment, in the order of play?
bool goes_back(const Setting& setting, const Play& a, const Play& b);
// Order::chronological: may `b` not come after `a`, whatever stands between?
bool out_of_order(const Setting& setting, const Play& a, const Play& b);
double opening_cost(const Setting& setting, std::size_t clip);

// Weighted cost of hanging this clip on this slot: actions at calm section starts.
double slot_cost(const Setting& setting, const Clip& clip, const Slot& slot);

// Story's three thirds, unweighted.
double opening_value(const Setting& setting, const Clip& clip);
double ending_value(const Setting& setting, const Clip& clip);
double arrival_value(const Setting& setting, const Play& play, std::size_t slot);

// Points that stand before any cut is made: the pair terms begin at 1, fresh too.
double base_points(const Setting& setting);
double coverage_gain(const Setting& setting); // weighted, of one player or skill
double repeat_cost(const Setting& setting);   // weighted, of showing a take once more

} // namespace downball::solve
