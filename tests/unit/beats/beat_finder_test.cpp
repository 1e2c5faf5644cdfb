// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/beat_check.h"
#include "support/catch.h"
#include "support/song_patterns.h"

#include "downball/beats/beat_finder.h"

using namespace downball;
using namespace downball::test;

namespace {

constexpr int rate = 22050;

Mix clicks(double bpm, double first_s, double length_s, double attack_s, double decay_s) {
    Mix mix(rate, length_s);
    for (double t = first_s; t < length_s - 0.2; t += 60 / bpm)
        mix.noise(t, 0.5, attack_s, decay_s);
    mix.hiss(1e-5);
    return mix;
}

} // namespace

TEST_CASE("Clicks of every tempo give their beats within 2 ms", "[beats]") {
    for (const double bpm : {60.0, 87.3, 100.0, 120.0, 133.7, 160.0, 200.0}) {
        const double first = 0.31 + bpm / 1000;
        auto mix = clicks(bpm, first, 24, 0.0003, 0.01);
        const auto grid = find_beats({mix.samples()}, rate);
        REQUIRE(grid);
        std::vector<double> truth;
        for (double t = first; t < 23.8; t += 60 / bpm)
            truth.push_back(t);
        const auto misses = compare(truth, seconds(*grid));
        INFO(bpm << " BPM, found " << grid->tempo_bpm << ", median " << 1e3 * misses.median_s << " ms");
        CHECK(misses.lost == 0);
        CHECK(misses.made_up == 0);
        CHECK(misses.worst_s < 0.002);
        CHECK(grid->steady);
        CHECK(grid->tempo_bpm == Approx(bpm).epsilon(1e-4));
        CHECK(grid->confidence >=
              low_confidence); // clicks are plain, yet which of them are beats they do not say
    }
}

TEST_CASE("A beat stands where the sound starts to rise, not at its peak", "[beats]") {
    // Attack and decay of a click, a stick, a soft mallet; a soft attack is heard a little after its start.
    struct Shape {
        double attack_s, decay_s, early_s, late_s;
    };
    for (const auto& s : {Shape{0.0002, 0.002, 0.001, 0.001}, Shape{0.001, 0.02, 0.001, 0.0015},
                          Shape{0.002, 0.2, 0.001, 0.002}, Shape{0.010, 0.1, 0.001, 0.004}}) {
        auto mix = clicks(110, 0.5, 20, s.attack_s, s.decay_s);
        const auto grid = find_beats({mix.samples()}, rate);
        REQUIRE(grid);
        std::vector<double> truth;
        for (double t = 0.5; t < 19.8; t += 60 / 110.0)
            truth.push_back(t);
        const auto misses = compare(truth, seconds(*grid), 1, 19);
        INFO("attack " << 1e3 * s.attack_s << " ms, median " << 1e3 * misses.median_s << " ms");
        CHECK(misses.lost == 0);
        CHECK(misses.median_s > -s.early_s);
        CHECK(misses.median_s < s.late_s);
    }
}

TEST_CASE("Kicks alone give their beats within 2 ms", "[beats]") {
    Mix mix(rate, 24);
    std::vector<double> truth;
    for (double t = 0.4; t < 23; t += 0.5) {
        mix.drum(t, 0.6, 50, 0.1);
        truth.push_back(t);
    }
    mix.hiss(1e-5);
    const auto grid = find_beats({mix.samples()}, rate);
    REQUIRE(grid);
    const auto misses = compare(truth, seconds(*grid), 0, 23);
    CHECK(misses.lost == 0);
    CHECK(std::abs(misses.median_s) < 0.002);
}

TEST_CASE("Three minutes at 128 do not drift by 5 ms", "[beats]") {
    Mix mix(rate, 181);
    const auto played = play(mix, four_on_the_floor, 96, [](int) { return 128.0; }, {.start_s = 0.25});
    const auto grid = find_beats({mix.samples()}, rate);
    REQUIRE(grid);
    const auto misses = compare(played.beats, seconds(*grid), 0, played.end_s - 0.1);
    CHECK(grid->steady);
    CHECK(misses.lost == 0);
    CHECK(misses.made_up == 0);
    CHECK(misses.worst_s < 0.005);
    CHECK(grid->residual_s < 0.003);
}

TEST_CASE("Less than 2 s and samples that are no numbers are errors", "[beats]") {
    const auto brief = find_beats({std::vector<float>(rate, 0.1f)}, rate);
    REQUIRE(!brief);
    CHECK(brief.error().fault == Fault::bad_input);
    CHECK(brief.error().what.find("1.00 s") != std::string::npos);

    std::vector<float> broken(3 * rate, 0.1f);
    broken[rate] = std::nanf("");
    const auto nan = find_beats({broken}, rate);
    REQUIRE(!nan);
    CHECK(nan.error().fault == Fault::bad_input);
    CHECK(nan.error().where == "1.000 s");
    CHECK(nan.error().what.find(std::to_string(rate)) != std::string::npos);
}

TEST_CASE("No beats are made up where there are none", "[beats]") {
    const std::size_t n = 12 * rate;
    Dice dice(3);
    std::vector<float> noise(n), hit(n, 0.0f);
    for (float& x : noise)
        x = static_cast<float>(0.1 * dice.uniform());
    for (std::size_t i = 0; i < 400; ++i)
        hit[5 * rate + i] = static_cast<float>(0.5 * dice.uniform());
    std::vector<float> tone(n);
    for (std::size_t i = 0; i < n; ++i)
        tone[i] = 0.3f * std::sin(0.0627f * static_cast<float>(i));
    for (const auto& song : {std::vector<float>(n, 0.0f), std::vector<float>(n, 0.5f), noise, hit, tone}) {
        const auto grid = find_beats({song}, rate);
        REQUIRE(grid);
        CHECK((grid->beats.empty() || grid->confidence < 0.2));
        CHECK(grid->duration_s == Approx(12));
    }
}

TEST_CASE("A stop that was asked for ends the search", "[beats]") {
    beats::BeatFinder finder(rate, 1);
    const std::vector<float> song(4 * rate, 0.1f);
    const float* channel[] = {song.data()};
    REQUIRE(finder.push({channel, song.size()}));
    std::stop_source stop;
    stop.request_stop();
    const auto grid = finder.finish({.progress = {}, .stop = stop.get_token()});
    REQUIRE(!grid);
    CHECK(grid.error().fault == Fault::interrupted);
}
