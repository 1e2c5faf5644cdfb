// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// The sample's own song, whose parts its generator knows.
#include "song.h"
#include "support/beat_check.h"
#include "support/catch.h"

using namespace downball;

TEST_CASE("The form of the sample's song is the one it was written in", "[beats][form]") {
    const sample::Stereo song = sample::make_song();
    const auto found = test::find_beats({song.left, song.right}, sample::audio_rate);
    REQUIRE(found);
    const BeatGrid& grid = *found;
    const double bar_s = sample::song_beat_s(4) - sample::song_beat_s(0);
    const auto bar_of = [&](std::size_t beat) {
        return (grid.beats[beat].seconds - sample::song_beat_s(0)) / bar_s;
    };
    const auto parts = sample::song_sections();

    std::vector<double> sections, phrases;
    for (std::size_t s = 1; s < grid.sections.size(); ++s)
        sections.push_back(bar_of(grid.sections[s].first));
    for (const Phrase& p : grid.phrases)
        phrases.push_back(bar_of(p.first));
    const auto has = [](const std::vector<double>& in, int bar, double within) {
        return std::any_of(in.begin(), in.end(), [&](double x) { return std::abs(x - bar) < within; });
    };
    int right = 0;
    for (std::size_t p = 1; p < parts.size(); ++p) {
        if (parts[p].bars < 4) continue; // the rise of two bars is too short for a section
        INFO(parts[p].name);
        CHECK(has(sections, parts[p].first_bar, 0.05));
        CHECK(has(phrases, parts[p].first_bar, 0.05));
        ++right;
    }
    CHECK(static_cast<int>(sections.size()) <= right + 1);
    CHECK(grid.bars_per_phrase == 8);
    REQUIRE(grid.arrival);
    CHECK((bar_of(*grid.arrival) == Approx(8).margin(0.05) ||
           bar_of(*grid.arrival) == Approx(22).margin(0.05)));
    CHECK(grid.arrival_confidence > 0.5);
}
