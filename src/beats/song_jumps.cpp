// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/song_jumps.h"

#include "beats/beat_texture.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

namespace downball::beats {

namespace {

constexpr double least_likeness =
    0.88; // like bars of produced music reach 0.95, fills and others stay under it
constexpr std::size_t shortest_jump_bars = 2; // a bar left out or doubled limps
constexpr std::size_t kept_a_distance = 4;

double period_s(const BeatGrid& grid, std::size_t beat) {
    return grid.beats[beat + 1].seconds - grid.beats[beat].seconds;
}

// Places of bars that may follow each other agree modulo this. A song that has no second phrase to jump into
// keeps step by its fours.
int bars_in_step(const BeatGrid& grid) {
    const auto whole = static_cast<std::size_t>(std::max(0, grid.bars_per_phrase * grid.beats_per_bar));
    const auto phrases = std::count_if(grid.phrases.begin(), grid.phrases.end(), [&](const Phrase& phrase) {
        return phrase.last - phrase.first >= whole;
    });
    return whole > 0 && phrases < 2 ? 4 : std::numeric_limits<int>::max();
}

} // namespace

std::vector<Jump> likely_jumps(const BeatGrid& grid, const SongBorders& borders) {
    std::vector<Jump> jumps;
    const auto bar = static_cast<std::size_t>(std::max(0, grid.beats_per_bar));
    if (!borders.bars_known() || grid.confidence < low_confidence || grid.downbeat_confidence < 0.3)
        return jumps;
    std::vector<std::size_t> downbeats;
    for (std::size_t i = bar; i + bar < grid.beats.size(); ++i)
        if (grid.beats[i].position == 1) downbeats.push_back(i);

    const int in_step = bars_in_step(grid);
    const auto place = [&](std::size_t beat) { return borders.bar_in_phrase(beat) % in_step; };
    std::map<std::ptrdiff_t, std::vector<Jump>> by_distance;
    for (const std::size_t leave : downbeats)
        for (const std::size_t enter : downbeats) {
            const auto distance = static_cast<std::ptrdiff_t>(enter) - static_cast<std::ptrdiff_t>(leave);
            if (std::abs(distance) < static_cast<std::ptrdiff_t>(shortest_jump_bars * bar)) continue;
            if (place(leave) != place(enter)) continue;
            const double left_s = period_s(grid, leave - 1), entered_s = period_s(grid, enter);
            if (std::abs(left_s - entered_s) > 0.01 * left_s) continue;
            const double alike = join_likeness(grid, leave, enter, bar);
            if (alike < least_likeness) continue;
            auto& best = by_distance[distance];
            best.push_back({leave, enter, alike});
            std::stable_sort(best.begin(), best.end(),
                             [](const Jump& a, const Jump& b) { return a.likeness > b.likeness; });
            if (best.size() > kept_a_distance) best.pop_back();
        }
    for (const auto& [distance, best] : by_distance)
        jumps.insert(jumps.end(), best.begin(), best.end());
    return jumps;
}

} // namespace downball::beats
