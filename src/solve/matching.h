// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/value.h"

#include <cstdint>
#include <utility>
#include <vector>

namespace downball::solve {

// For each of many clips, the best clip of another moment to cut from (or to): where the relaxation spends
// its time. So it works in single precision, on what lies below the best value, four clips at a time, in the
// vectors that g++ and clang++ know. What rounding may take is given back: results are never below the true ones.
class Matching {
  public:
    // Of a result and all that may be taken off it: a dozen roundings of half a unit each, and some to spare.
    static constexpr double rounding = 8 * 1.1920929e-7;          // FLT_EPSILON
    using Ranked = std::vector<std::pair<double, std::uint32_t>>; // value, clip

    // `clips` are those to be served; with `later` they come after the others, else before.
    Matching(const Setting& setting, const std::vector<std::uint32_t>& clips, bool later);

    // Serves clips [from, to) of those given. `best` holds what each has already, and is raised where one of
    // `others` brings more: its value less `unit` x cost of the cut; then `which` is its place in `others`, whose
    // order changes. 4 places past the end of both must be there.
    void serve(Ranked& others, double unit, std::size_t from, std::size_t to, std::vector<double>& best,
               std::vector<std::uint32_t>& which) const;

  private:
    static constexpr std::size_t block = 4;
    struct Source {
        float value = 0, base = 0, still = 0, set = 0;
        std::int32_t players = 0, look = 0, camera = 0, set_number = 0, side = 0, day = 0, kin = 0;
    };
    struct Costs {
        float player, look, camera, side, back;
    };
    void serve_from(const Ranked& others, std::size_t first, std::size_t end, double unit, std::size_t from,
                    std::size_t to, std::vector<double>& best, std::vector<std::uint32_t>& which) const;
    Source source(double value, std::size_t clip, double unit) const;
    void serve_block(const std::vector<Source>& sources, const Costs& costs, float unit, std::size_t at,
                     float (&best)[block], std::int32_t (&which)[block]) const;
    std::int32_t mark(int number, bool later) const { return number != 0 ? number : later ? -1 : -2; }

    const Setting& setting_;
    bool later_;
    // By clip served: tags, and costs before weighing by the slot.
    std::vector<std::int32_t> players_, look_, camera_, set_, side_, day_, kin_;
    std::vector<float> base_, still_;
};

} // namespace downball::solve
