// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/hints.h"
#include "support/catch.h"
#include "support/song_patterns.h"

#include "downball/model/song_hints.h"

using namespace downball;
using namespace downball::test;

namespace {

constexpr int rate = 22050;
constexpr double begins_s = 6.35, beat_s = 0.5;

BeatGrid find(Mix& mix, const beats::BeatOptions& options) {
    beats::BeatFinder finder(rate, 1, options);
    const std::vector<const float*> channels{mix.samples().data()};
    REQUIRE(finder.push({channels, mix.samples().size()}));
    const auto grid = finder.finish();
    REQUIRE(grid);
    return *grid;
}

// Sixteen bars of a back-beat at 120, after six seconds of nothing but hiss.
BeatGrid found(const beats::BeatOptions& options) {
    static Mix mix = [] {
        Mix made(rate, 40);
        play(made, back_beat, 16, [](int) { return 60 / beat_s; }, {.start_s = begins_s});
        made.hiss(1e-5);
        return made;
    }();
    const auto grid = find(mix, options);
    REQUIRE(grid.beats.size() > 12);
    return grid;
}

beats::BeatOptions at_level(beats::TempoLevel level) {
    beats::BeatOptions said;
    said.level = level;
    return said;
}

beats::BeatOptions downbeat_at(double seconds) {
    beats::BeatOptions said;
    said.downbeat_s = seconds;
    return said;
}

// How far the beat nearest to an instant is from it, and its position.
std::pair<double, int> beat_at(const BeatGrid& grid, double at_s) {
    const auto nearest =
        std::min_element(grid.beats.begin(), grid.beats.end(), [&](const Beat& a, const Beat& b) {
            return std::abs(a.seconds - at_s) < std::abs(b.seconds - at_s);
        });
    return {std::abs(nearest->seconds - at_s), nearest->position};
}

} // namespace

TEST_CASE("Half and twice the tempo are counted where they are asked for", "[beats][hints]") {
    CHECK(found({}).tempo_bpm == Approx(120).epsilon(1e-3));
    CHECK(found(at_level(beats::TempoLevel::half)).tempo_bpm == Approx(60).epsilon(1e-3));
    CHECK(found(at_level(beats::TempoLevel::twice)).tempo_bpm == Approx(240).epsilon(1e-3));
}

TEST_CASE("A tempo that was said is the one counted", "[beats][hints]") {
    for (const double bpm : {60.0, 118.0, 240.0}) {
        beats::BeatOptions said;
        said.bpm = bpm;
        CHECK(found(said).tempo_bpm == Approx(bpm).epsilon(0.04));
    }
}

TEST_CASE("A downbeat that was said is one, and bars of the metre said are counted from it",
          "[beats][hints]") {
    for (const int metre : {2, 3, 4, 6})
        for (const int beat : {8, 9, 10, 11}) {
            beats::BeatOptions said;
            said.beats_per_bar = metre;
            said.downbeat_s = begins_s + beat * beat_s;
            const auto grid = found(said);
            CHECK(grid.beats_per_bar == metre);
            for (int bar = 0; bar < 4; ++bar) {
                const auto [off_s, position] = beat_at(grid, begins_s + (beat + bar * metre) * beat_s);
                CHECK(off_s < 0.01);
                CHECK(position == 1);
            }
        }
}

TEST_CASE("At half the tempo the downbeat that was said stays a beat", "[beats][hints]") {
    for (const int beat : {8, 9}) {
        beats::BeatOptions said;
        said.level = beats::TempoLevel::half;
        said.downbeat_s = begins_s + beat * beat_s;
        const auto grid = found(said);
        CHECK(grid.tempo_bpm == Approx(60).epsilon(1e-3));
        const auto [off_s, position] = beat_at(grid, *said.downbeat_s);
        CHECK(off_s < 0.01);
        CHECK(position == 1);
    }
}

TEST_CASE("A downbeat said long before the first beat is counted on from", "[beats][hints]") {
    for (const int before : {8, 9}) {
        beats::BeatOptions said;
        said.beats_per_bar = 4;
        said.downbeat_s = begins_s - before * beat_s;
        const auto grid = found(said);
        CHECK(grid.beats.back().seconds > begins_s + 60 * beat_s); // not one of them is lost
        const auto [off_s, position] = beat_at(grid, *said.downbeat_s + 16 * beat_s);
        CHECK(off_s < 0.01);
        CHECK(position == 1);
    }
}

TEST_CASE("The beats are moved onto one that was said between them", "[beats][hints]") {
    // By a sixth of a beat, where no reading has one: as a whole, and by no more.
    std::vector<beats::Reading> readings(2);
    for (int k = 0; k < 20; ++k) {
        readings[0].frames.push_back(100 + 86 * k);
        readings[1].frames.push_back(143 + 86 * k);
    }
    constexpr double frame_s = 0.0058;
    for (const double said : {100 + 86 * 10 + 20.0, 100 - 86 * 1 + 20.0, 100 + 86 * 30 + 20.0}) {
        auto moved = readings;
        heed_downbeat(moved, downbeat_at(said * frame_s), frame_s);
        REQUIRE(moved.front().frames.size() == 20);
        for (std::size_t k = 0; k < 20; ++k)
            CHECK(moved.front().frames[k] == Approx(120 + 86.0 * static_cast<double>(k)));
    }
    // Where another reading has it, that one is taken as it is.
    auto chosen = readings;
    heed_downbeat(chosen, downbeat_at((143 + 86 * 3 + 1) * frame_s), frame_s);
    CHECK(chosen.front().frames == readings[1].frames);
}

TEST_CASE("Songs of a few seconds give beats in order and inside them, or none, whatever is said",
          "[beats][hints]") {
    std::vector<beats::BeatOptions> all(8);
    all[1] = at_level(beats::TempoLevel::half);
    all[2] = at_level(beats::TempoLevel::twice);
    all[3] = downbeat_at(1.9);
    all[4] = downbeat_at(0);
    all[4].beats_per_bar = 6;
    all[5].bpm = slowest_hint_bpm;
    all[6].bpm = fastest_hint_bpm;
    all[7] = at_level(beats::TempoLevel::half);
    all[7].downbeat_s = 1;
    for (const double length_s : {2.0, 2.3, 3.0, 4.5, 6.0, 7.5, 10.0}) {
        Mix mix(rate, length_s);
        play(mix, back_beat, 6, [](int) { return 60 / beat_s; }, {.start_s = 0.1});
        for (const auto& said : all) {
            const auto grid = find(mix, said);
            double before = -1;
            for (const Beat& beat : grid.beats) {
                CHECK(beat.seconds > before);
                CHECK(beat.seconds <= length_s);
                before = beat.seconds;
            }
            CHECK((grid.confidence >= 0 && grid.confidence <= 1));
            CHECK((grid.beats.empty() || grid.tempo_bpm > 0));
            CHECK((length_s < 10 || said.bpm || !grid.beats.empty()));
        }
    }
}
