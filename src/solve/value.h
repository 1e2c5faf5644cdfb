// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/stock.h"

#include <array>
#include <limits>
#include <vector>

namespace downball::solve {

// Indices of the soft terms, in the order of solve/terms.h.
namespace term {
enum : std::size_t {
    sync,
    accent,
    confidence,
    rating,
    rally,
    pace,
    keep,
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

// What the cost of a cut between two clips of different moments depends on. Two of them are alike in look,
// camera, set or side if neither number is 0 and both are the same.
struct Tags {
    std::uint64_t players = 0; // one bit each, of the first 64
    std::int64_t day = 0;
    int kin = 0;              // the same for clips of one moment
    int look = 0, camera = 0; // look: size and angle together
    int set = 0;              // of an action
    int side = 0, other = 0;  // of an action, with its ends; other: the side that must not follow
    bool action = false;
    bool answers = false; // a reaction to a moment
    bool leaves = false;  // an action of a moment that has a reaction
};

// Weights of what Tags may have in common.
struct TagCosts {
    double player = 0, look = 0, camera = 0, reaction = 0, pause = 0, set = 0, back = 0, side = 0;
};

// Problem, grid and stock together with the weights that are in force.
struct Setting {
    const Problem& problem;
    Grid grid;
    Stock stock;
    Values weight{};
    std::vector<Tags> tags; // by clip
    TagCosts tag_costs;
    // By clip: pair_bound() to itself and to the clips of its moment, where it depends on the plays; in order.
    std::vector<std::vector<std::pair<std::size_t, double>>> mates;
    std::vector<double> opening; // weighted costs of opening with a clip

    const Take& take_of(const Clip& clip) const { return problem.log.takes[clip.take]; }
    const Clip& clip_of(const Play& play) const { return stock.clips[play.clip]; }
};

Setting make_setting(const Problem& problem);

// The formulas of solve/terms.h. `first` tells the opening shot, which spans from frame 0.
double sync_value(double error_frames);
double accent_value(const Setting& setting, const Play& play, const Slot& slot);
double rating_value(int rating);
double rally_value(const Play& play);
double pace_value(const Slot& slot, bool slow, double span);
double keep_value(const Play& play, const Slot& slot);
double border_error(const Slot& slot); // of a shot hung on its own first frame

// share-free weighted sum of sync, accent, confidence, rating, rally and keep.
double quality(const Setting& setting, const Play& play, const Slot& slot, double error_frames);

// Costs c of a cut between two shots, unweighted; `before` is null for the opening shot.
Values pair_costs(const Setting& setting, const Play* before, const Play& after);
double pair_cost(const Setting& setting, std::size_t before, std::size_t after); // weighted sum, of plays
// The least that a cut between any shots of two clips costs; infinite if none may follow.
double pair_bound(const Setting& setting, std::size_t before, std::size_t after);

bool share_player(const Setting& setting, std::size_t a, std::size_t b);
// pair_bound() of clips of different moments.
inline double strangers_cost(const Setting& setting, std::size_t before, std::size_t after) {
    const Tags& x = setting.tags[before];
    const Tags& y = setting.tags[after];
    const TagCosts& its = setting.tag_costs;
    double cost = 0;
    if ((x.players & y.players) != 0 ||
        (setting.stock.player_names.size() > 64 && share_player(setting, before, after)))
        cost = its.player;
    cost += x.look == y.look && x.look != 0 ? its.look : 0;
    cost += x.camera == y.camera && x.camera != 0 ? its.camera : 0;
    cost += y.answers || x.leaves ? its.reaction : 0;
    cost += !x.action && !y.action ? its.pause : 0;
    cost += x.set != y.set && x.set != 0 && y.set != 0 ? its.set : 0;
    cost += x.other == y.side && y.side != 0 ? its.side : 0;
    return y.day < x.day ? cost + its.back : cost;
}

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
bool may_arrive(const Setting& setting, std::size_t slot); // could a shot that hangs here have any?

// Points that stand before any cut is made: the pair terms begin at 1, fresh too.
double base_points(const Setting& setting);
double coverage_gain(const Setting& setting); // weighted, of one player or skill
double repeat_cost(const Setting& setting);   // weighted, of showing a take once more

} // namespace downball::solve
