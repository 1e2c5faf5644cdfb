// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// Drum patterns with chords, each with its own trap.
#include "support/beat_check.h"
#include "support/catch.h"
#include "support/song_patterns.h"

using namespace downball;
using namespace downball::test;

namespace {

constexpr int rate = 22050;

struct Heard {
    Played played;
    BeatGrid grid;
    Misses beats, downbeats;
};

template <class Tempo>
Heard hear(const Pattern& pattern, int bars, Tempo tempo, const Playing& how = {}) {
    double length = how.start_s + 0.3;
    for (int bar = 0; bar < bars; ++bar)
        length += pattern.beats * 60 / tempo(bar);
    Mix mix(rate, length);
    Heard out;
    out.played = play(mix, pattern, bars, tempo, how);
    auto grid = find_beats({mix.samples()}, rate);
    REQUIRE(grid);
    out.grid = *grid;
    out.beats = compare(out.played.beats, seconds(*grid), 0, out.played.end_s - 0.05);
    out.downbeats = compare(out.played.downbeats, seconds(*grid, true), 0, out.played.end_s - 0.05);
    return out;
}

void all_found(const Heard& h, double within_s) {
    INFO("tempo " << h.grid.tempo_bpm << ", median " << 1e3 * h.beats.median_s << " ms, worst "
                  << 1e3 * h.beats.worst_s);
    CHECK(h.beats.lost == 0);
    CHECK(h.beats.made_up == 0);
    CHECK(h.beats.worst_s < within_s);
    CHECK(h.downbeats.lost == 0);
    CHECK(h.downbeats.made_up == 0);
    CHECK(h.grid.confidence > 0.6); // half of it is that no other tempo or phase is as likely
}

auto at(double bpm) {
    return [bpm](int) { return bpm; };
}

} // namespace

TEST_CASE("Off-beat hats and bass do not draw the beat away", "[beats]") {
    all_found(hear(four_on_the_floor, 24, at(124)), 0.005);
}

TEST_CASE("A back-beat at 92 is not taken for 184 or 46", "[beats]") {
    all_found(hear(back_beat, 16, at(92)), 0.005);
}

TEST_CASE("A breakbeat at 174 is not taken for 87", "[beats]") {
    all_found(hear(breakbeat, 32, at(174)), 0.005);
}

TEST_CASE("Half-time drums at 140 keep their 140", "[beats]") {
    all_found(hear(half_time, 24, at(140)), 0.005);
}

TEST_CASE("A waltz is counted in three", "[beats]") {
    const auto h = hear(waltz, 24, at(138));
    all_found(h, 0.005);
    CHECK(h.grid.beats_per_bar == 3);
}

TEST_CASE("Swung sixteenths leave the beat where it is", "[beats]") {
    Playing how;
    how.swing = 0.62;
    all_found(hear({4, "x......x..x.....", "....x.......x...", "xxxxxxxxxxxxxxxx", "x......x..x....."}, 16,
                   at(88), how),
              0.005);
}

TEST_CASE("A song that begins late has no beats before it begins", "[beats]") {
    Playing how;
    how.start_s = 3.17;
    const auto h = hear(back_beat, 12, at(112), how);
    all_found(h, 0.005);
    CHECK(h.grid.beats.front().seconds > 3.1);
}

TEST_CASE("Beats are carried through a breakdown, and its end is the arrival", "[beats]") {
    Playing how;
    how.drumless_from = 12;
    how.drumless_to = 20;
    const auto h = hear(four_on_the_floor, 32, at(126), how);
    all_found(h, 0.005);
    REQUIRE(h.grid.arrival);
    CHECK(std::abs(h.grid.beats[*h.grid.arrival].seconds - h.played.downbeats[20]) < 0.005);
    REQUIRE(h.grid.sections.size() >= 3);
    CHECK(h.grid.sections.front().first == 0);
    CHECK(h.grid.sections.back().last == h.grid.beats.size());
    for (std::size_t s = 1; s < h.grid.sections.size(); ++s) {
        CHECK(h.grid.sections[s].first == h.grid.sections[s - 1].last);
        CHECK(h.grid.beats[h.grid.sections[s].first].position == 1);
    }
    double quiet = 0, loud = 0;
    for (std::size_t i = 50; i < 78; ++i)
        quiet += h.grid.beats[i].energy / 28;
    for (std::size_t i = 82; i < 110; ++i)
        loud += h.grid.beats[i].energy / 28;
    CHECK(loud > quiet + 0.3);
}

TEST_CASE("A ramp from 96 to 128 is followed beat by beat", "[beats]") {
    const auto h = hear(back_beat, 32, [](int bar) { return 96.0 + bar; });
    CHECK(!h.grid.steady);
    CHECK(h.beats.lost == 0);
    CHECK(h.beats.made_up == 0);
    CHECK(h.beats.worst_s < 0.015);
}

TEST_CASE("A step from 104 to 120 is taken within a beat or two", "[beats]") {
    const auto h = hear(back_beat, 28, [](int bar) { return bar < 14 ? 104.0 : 120.0; });
    CHECK(!h.grid.steady);
    CHECK(h.beats.lost <= 1);
    CHECK(h.beats.made_up <= 1);
}

TEST_CASE("A drummer who drifts and strays is followed", "[beats]") {
    Playing how;
    how.jitter_s = 0.007;
    const auto h = hear(
        back_beat, 32, [](int bar) { return 114 + 3 * std::sin(bar / 3.0); }, how);
    CHECK(h.beats.lost == 0);
    CHECK(h.beats.made_up == 0);
    CHECK(h.beats.worst_s < 0.035);
    CHECK(std::abs(h.beats.median_s) < 0.003);
}

TEST_CASE("Strokes that stray by 8 ms around a steady tempo leave a steady grid", "[beats]") {
    Playing how;
    how.jitter_s = 0.008;
    const auto h = hear(back_beat, 32, at(110), how);
    all_found(h, 0.006);
    CHECK(h.grid.steady);
    CHECK(h.grid.residual_s > 0.003);
    CHECK(h.grid.residual_s < 0.014);
}
