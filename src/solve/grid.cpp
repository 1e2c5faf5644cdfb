// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/grid.h"

#include <algorithm>
#include <cmath>
#include <iterator>

namespace downball::solve {
namespace {

bool bars_known(const BeatGrid& beats) {
    return std::any_of(beats.beats.begin(), beats.beats.end(), [](const Beat& b) { return b.position == 1; });
}

// Geometric between longest (energy 0) and shortest (energy 1), in whole beats, at least one.
double wanted_length(const Grid& grid, double energy, double period) {
    double ratio = static_cast<double>(grid.shortest) / static_cast<double>(grid.longest);
    double frames = static_cast<double>(grid.longest) * std::pow(ratio, std::clamp(energy, 0.0, 1.0));
    double in_beats = std::max(1.0, std::floor(frames / period + 0.5));
    return std::clamp(in_beats * period, static_cast<double>(grid.shortest),
                      static_cast<double>(grid.longest));
}

double median_period(const std::vector<Slot>& beats, double fallback) {
    std::vector<double> periods;
    for (std::size_t i = 1; i < beats.size(); ++i)
        periods.push_back(beats[i].at - beats[i - 1].at);
    if (periods.empty()) return fallback;
    auto middle = periods.begin() + static_cast<std::ptrdiff_t>(periods.size() / 2);
    std::nth_element(periods.begin(), middle, periods.end());
    return std::max(*middle, 1e-3);
}

// 0.5 x (1 - energy of the section) where a section begins, nothing elsewhere.
void mark_calm_starts(const BeatGrid& song, std::vector<Slot>& slots) {
    for (const Section& section : song.sections)
        for (Slot& slot : slots)
            if (slot.beat >= 0 && static_cast<std::size_t>(slot.beat) == section.first)
                slot.calm = 0.5 * (1 - std::clamp(section.energy, 0.0, 1.0));
}

// All beats of the song and, if asked for, the half beats between them: one of its two beats may lie outside the
// cut, and yet a half beat inside it.
std::vector<Slot> slots_of(const Problem& problem, bool halves, bool bars, const Grid& grid) {
    std::vector<Slot> beats;
    for (std::size_t b = 0; b < problem.beats.beats.size(); ++b) {
        const Beat& beat = problem.beats.beats[b];
        const double seconds = beat.seconds - problem.song_start_s;
        Slot slot;
        slot.frame = nearest_frame(seconds, grid.rate).n;
        slot.at = seconds * grid.fps;
        slot.beat = static_cast<int>(b);
        slot.plain = !bars || beat.position == 1;
        slot.strength = std::clamp(beat.strength, 0.0, 1.0);
        slot.energy = std::clamp(beat.energy, 0.0, 1.0);
        beats.push_back(slot);
    }
    mark_calm_starts(problem.beats, beats);
    if (!halves) return beats;
    std::vector<Slot> slots;
    for (std::size_t b = 0; b < beats.size(); ++b) {
        slots.push_back(beats[b]);
        if (b + 1 == beats.size()) break;
        Slot half;
        half.at = (beats[b].at + beats[b + 1].at) / 2;
        half.frame = nearest_frame(half.at / grid.fps, grid.rate).n;
        half.plain = true;
        half.energy = beats[b].energy;
        slots.push_back(half);
    }
    return slots;
}

} // namespace

std::int64_t Grid::lead_max_at(Fraction speed) const {
    return std::max(lead_max, lead_min + ceil(Fraction(1) / speed) - 1);
}

Grid make_grid(const Problem& problem) {
    const Pacing& pacing = problem.limits.pacing;
    Grid grid;
    grid.rate = problem.limits.delivery.rate;
    grid.fps = grid.rate.per_second();
    double rest = std::max(0.0, problem.beats.duration_s - problem.song_start_s);
    double length_s = std::min(problem.limits.delivery.length_s.value_or(rest), rest);
    grid.length = frame_at(length_s, grid.rate).n;
    grid.shortest = std::max<std::int64_t>(1, frame_from(pacing.shortest_s, grid.rate).n);
    grid.longest = frame_at(pacing.longest_s, grid.rate).n;
    grid.lead_min = nearest_frame(pacing.lead_in_min_s, grid.rate).n;
    grid.lead_max = nearest_frame(pacing.lead_in_max_s, grid.rate).n;
    grid.tail = std::max<std::int64_t>(0, frame_from(pacing.tail_s, grid.rate).n);
    auto at_least = [&](double seconds) {
        std::int64_t frames = std::max(grid.shortest, frame_from(seconds, grid.rate).n);
        return std::min(frames, std::max(grid.shortest, grid.longest));
    };
    grid.shortest_cutaway = at_least(pacing.shortest_cutaway_s);
    grid.shortest_slow = at_least(pacing.shortest_slow_s);
    grid.tail_max =
        std::max(pacing.tail_max_s * grid.fps, static_cast<double>(std::max<std::int64_t>(1, grid.tail)));
    grid.handle = pacing.handle_frames;

    bool bars = pacing.cut_on == CutOn::bar && bars_known(problem.beats);
    const auto in_cut = [&](const Slot& slot) { return slot.frame >= 0 && slot.frame < grid.length; };
    const std::vector<Slot> all = slots_of(problem, pacing.cut_on == CutOn::half_beat, bars, grid);
    std::vector<Slot> beats;
    for (const Slot& slot : all)
        if (slot.beat >= 0 && in_cut(slot)) beats.push_back(slot);
    grid.beats = beats.size();

    std::copy_if(all.begin(), all.end(), std::back_inserter(grid.slots), in_cut);
    if (grid.slots.empty() || grid.slots.front().frame > 0) {
        grid.slots.insert(grid.slots.begin(), Slot{});
    }
    // What lies ahead of the first beat is as lively as that.
    for (Slot& slot : grid.slots) {
        if (slot.beat >= 0) break;
        slot.energy = beats.empty() ? 0 : beats.front().energy;
    }
    grid.slots.front().plain = true; // the first shot begins at frame 0 whatever the beat
    for (std::size_t i = 1; i < grid.slots.size(); ++i)
        if (grid.slots[i].frame == grid.slots[i - 1].frame) grid.slots[i].plain = false;

    double period = median_period(beats, grid.fps / 2);
    double shots = 0;
    for (std::size_t i = 0; i < grid.slots.size(); ++i) {
        Slot& slot = grid.slots[i];
        slot.wanted = wanted_length(grid, slot.energy, period);
        slot.unit = slot.wanted / static_cast<double>(std::max<std::int64_t>(1, grid.length));
        std::int64_t next = i + 1 < grid.slots.size() ? grid.slots[i + 1].frame : grid.length;
        shots += static_cast<double>(next - slot.frame) / slot.wanted;
        if (problem.beats.arrival && slot.beat >= 0 &&
            static_cast<std::size_t>(slot.beat) == *problem.beats.arrival)
            grid.arrival = i;
    }
    grid.expected_shots = std::max(1.0, shots);
    grid.slot_of_beat.assign(problem.beats.beats.size(), grid.slots.size());
    for (std::size_t i = 0; i < grid.slots.size(); ++i)
        if (int beat = grid.slots[i].beat; beat >= 0) grid.slot_of_beat[static_cast<std::size_t>(beat)] = i;
    return grid;
}

} // namespace downball::solve
