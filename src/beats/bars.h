// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/beat_steps.h"

#include <array>
#include <vector>

namespace downball::beats {

// How like what happens inside a beat is to what happens inside the beat 1, 2, 3, 4, 6, 8 later; -1..1. What is
// the same in every beat is left out.
struct Likeness {
    enum Kind { one, two, three, four, six, eight, kinds };
    std::array<double, kinds> value{};
    double constant = 0; // 0..1: share of all that happens which is the same in every beat
};
Likeness likeness(const BeatSteps& steps); // all 0 for less than 12 beats

// -1..1: how far thirds of the beat are struck rather than its half; the beats moved by `shift` twelfths.
double thirds_of(const BeatSteps& steps, std::size_t shift);

// What a beat says on its place in the bar, each in units of its spread over the song.
struct BarCues {
    enum Kind { low, mid, presence, high, harmony, step, kinds };
    std::vector<std::array<float, kinds>> beat;
    Likeness likeness;
    double thirds = 0;     // -1..1: of what is struck inside beats, on thirds rather than half-way
    double octaves = 0;    // of the tempo over 120 beats a minute
    std::size_t first = 0; // the beat on which the music begins
};
// `shift`: twelfths by which the beats are moved against those the steps were taken at.
BarCues bar_cues(const BeatSteps& steps, std::size_t shift, const Likeness& likeness, std::size_t first);

// One way to count: bars of `metre` beats, a downbeat at every beat i with i % metre == downbeat.
struct BarGuess {
    int metre = 0;
    int downbeat = 0;
    double score = 0; // log-odds
};
std::vector<BarGuess> rank_bars(const BarCues& cues); // the best first; none for less than 8 beats

// 0..1: that the first of one or more guesses is the right one of them.
double likelihood_of_first(const std::vector<BarGuess>& guesses);

struct Bars {
    int beats_per_bar = 0;
    std::vector<int> position; // 1 = downbeat
    double confidence = 0;     // 0..1
};

// Counts through the song, for the metre asked for (2, 3, 4 or 6; 0 = the best one). Where a bar plainly has a beat
// too many or too few, the count follows. Nothing for less than 8 beats.
Bars find_bars(const BarCues& cues, int metre = 0);

} // namespace downball::beats
