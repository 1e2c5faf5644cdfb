// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/beat_content.h"

#include "downball/model/beat_grid.h"

#include <cstddef>
#include <vector>

namespace downball::beats {

// The song bar by bar, as the form is read from it.
struct BarContent {
    // Beat each bar begins on, and the number of beats at the end. Beats before the first downbeat belong to
    // the first bar, and fewer than half a bar at the end to the last. Where bars are not known, every fourth
    // beat from the first.
    std::vector<std::size_t> first;
    // How far apart the sounds of two bars are, level, colour, harmony and rhythm together: 0 = the same, about 1 =
    // nothing in common. Only for bars fewer than `reach` apart.
    double distance(std::size_t a, std::size_t b) const {
        return a < b ? apart[a * reach + (b - a)] : apart[b * reach + (a - b)];
    }
    std::size_t bars() const { return first.size() - 1; }

    static constexpr std::size_t reach = 17;
    std::vector<double> apart;  // bars x reach: to itself, the next, the one after that ...
    std::vector<double> struck; // how bright the stroke on the bar's first beat is, 0..1 within the song
};

// Of a grid with at least one beat.
BarContent bar_content(const BeatContent& content, const BeatGrid& grid);

} // namespace downball::beats
