// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/beat_path.h"
#include "beats/tempo.h"
#include "support/catch.h"
#include "support/click_onsets.h"

using namespace downball;
using namespace downball::test;

TEST_CASE("The tempo prior has its peak at the favoured tempo and falls alike for half and double",
          "[beats]") {
    const beats::BeatOptions options;
    CHECK(beats::tempo_prior(60 / options.favoured_bpm, options) == Approx(0));
    CHECK(beats::tempo_prior(30 / options.favoured_bpm, options) ==
          Approx(beats::tempo_prior(120 / options.favoured_bpm, options)));
    CHECK(beats::tempo_prior(30 / options.favoured_bpm, options) < -0.5);
}

TEST_CASE("Quantiles of a tempo curve are those of its periods", "[beats]") {
    beats::TempoCurve curve;
    curve.period_s = {0.5, 0.7, 0.4};
    CHECK(curve.quantile_s(0) == Approx(0.4));
    CHECK(curve.quantile_s(0.5) == Approx(0.5));
    CHECK(curve.quantile_s(1) == Approx(0.7));
}

TEST_CASE("The tempo of clicks is among the guesses, with its double", "[beats]") {
    for (const double bpm : {64.0, 97.0, 151.0}) {
        const auto guesses =
            beats::guess_tempi(click_onsets(clicks(3, 45, [&](double) { return 60 / bpm; })), {});
        REQUIRE(!guesses.empty());
        CHECK(guesses.size() <= 12);
        double nearest = 1;
        for (const auto& guess : guesses)
            nearest = std::min(nearest, std::abs(std::log(guess.quantile_s(0.5) * bpm / 60)));
        CHECK(nearest < 0.01); // the grid of periods is a hundredth fine
        for (std::size_t i = 0; i < guesses.size(); ++i)
            for (std::size_t j = 0; j < i; ++j)
                CHECK(std::abs(std::log(guesses[i].quantile_s(0.5) / guesses[j].quantile_s(0.5))) > 0.039);
    }
}

TEST_CASE("Where clicks step in tempo, so does a curve, be it after three quarters of an hour", "[beats]") {
    for (const double step_s : {40.0, 2700.0}) {
        const auto onsets =
            click_onsets(clicks(1, step_s + 40, [&](double t) { return t < step_s ? 0.50 : 0.55; }));
        double nearest_s = 1e9;
        for (const auto& guess : beats::guess_tempi(onsets, {})) {
            const auto at = [&](double t) {
                return guess.period_s.at(static_cast<std::size_t>(std::lround(t / guess.step_s)));
            };
            if (std::abs(at(step_s - 15) - 0.50) > 0.01 || std::abs(at(step_s + 15) - 0.55) > 0.01) continue;
            double t = step_s - 15; // where it passes the middle
            while (at(t) < 0.525)
                t += 0.05;
            nearest_s = std::min(nearest_s, std::abs(t - step_s));
        }
        INFO("step at " << step_s << " s, found " << nearest_s << " s off");
        CHECK(nearest_s < 2.5); // a knot
    }
}

TEST_CASE("A tempo that was said is tried though nothing in the song says it", "[beats]") {
    beats::BeatOptions said;
    said.bpm = 100;
    said.slowest_bpm = 94;
    said.fastest_bpm = 106;
    const auto guesses = beats::guess_tempi(click_onsets({}, 20), said);
    REQUIRE(!guesses.empty());
    CHECK(guesses.front().quantile_s(0.5) == Approx(0.6).epsilon(0.06));
}

TEST_CASE("Where nothing sounds there is no tempo", "[beats]") {
    auto onsets = click_onsets({}, 20);
    onsets.first = onsets.last = 0;
    CHECK(beats::guess_tempi(onsets, {}).empty());
}

TEST_CASE("The path of beats goes through clicks that step in tempo, and through a gap of theirs",
          "[beats]") {
    const auto all = clicks(1, 80, [](double t) { return t < 40 ? 0.50 : 0.55; });
    std::vector<double> heard;
    for (const double t : all)
        if (t < 20 || t > 28) heard.push_back(t);
    const auto onsets = click_onsets(heard, 80);
    beats::TempoCurve curve;
    curve.step_s = 2.5;
    for (double t = 0; t < 80; t += curve.step_s)
        curve.period_s.push_back(t < 40 ? 0.50 : 0.55);
    const auto path = beats::best_path(onsets, curve);
    int missed = 0;
    for (const double t : all) {
        double off = 1;
        for (const double frame : path.frames)
            off = std::min(off, std::abs(frame * onsets.frame_s - t));
        if (off > 0.02 && std::abs(t - 40) > 3) ++missed;
    }
    CHECK(missed == 0);
    CHECK(std::abs(static_cast<double>(path.frames.size()) - static_cast<double>(all.size())) <= 2);
}

TEST_CASE("Less than two beats have no path", "[beats]") {
    beats::TempoCurve curve;
    curve.step_s = 2.5;
    const auto onsets = click_onsets({0.1, 0.6}, 0.9);
    CHECK(beats::best_path(onsets, curve).frames.empty());
    curve.period_s = {0.5};
    CHECK(beats::best_path(onsets, curve).frames.empty());
}
