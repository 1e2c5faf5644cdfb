// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// Form of songs whose parts are known: they are played from a list.
#include "support/beat_check.h"
#include "support/catch.h"
#include "support/form_song.h"

using namespace downball;
using namespace downball::test;

namespace {

constexpr int rate = 22050;

struct Heard {
    FormPlayed played;
    BeatGrid grid;
    double bar_s = 0;

    double bar_of(std::size_t beat) const { // counted from the song's first bar
        return (grid.beats[beat].seconds - played.downbeats[0]) / bar_s;
    }
};

Heard hear(const Pattern& pattern, const std::vector<FormPart>& parts, const FormHow& how = {},
           float gain = 1) {
    Heard out;
    out.bar_s = pattern.beats * 60 / how.bpm;
    Mix mix(rate, how.start_s + bars_of(parts) * out.bar_s + 0.3);
    out.played = FormPlayer(mix, pattern, how).play(parts);
    for (float& x : mix.samples())
        x *= gain;
    const auto grid = find_beats({mix.samples()}, rate);
    REQUIRE(grid);
    out.grid = *grid;
    return out;
}

void tiles(const BeatGrid& grid) {
    REQUIRE(!grid.sections.empty());
    REQUIRE(!grid.phrases.empty());
    CHECK(grid.sections.front().first == 0);
    CHECK(grid.sections.back().last == grid.beats.size());
    CHECK(grid.phrases.front().first == 0);
    CHECK(grid.phrases.back().last == grid.beats.size());
    for (std::size_t i = 1; i < grid.sections.size(); ++i) {
        CHECK(grid.sections[i].first == grid.sections[i - 1].last);
        CHECK(grid.beats[grid.sections[i].first].position == 1);
    }
    for (std::size_t i = 1; i < grid.phrases.size(); ++i) {
        CHECK(grid.phrases[i].first == grid.phrases[i - 1].last);
        CHECK(grid.beats[grid.phrases[i].first].position == 1);
    }
}

const std::vector<FormPart> club{{8, "khc"}, {8, "kshbc"},   {16, "KSHBCl"},
                                 {8, "cl"},  {16, "KSHBCL"}, {8, "kshc"}};
const std::vector<FormPart> verses{{4, "hc"},     {16, "kshbc"}, {8, "KSHBCL"}, {16, "kshbc"},
                                   {8, "KSHBCL"}, {8, "c"},      {8, "KSHBCL"}, {4, "c"}};
const std::vector<FormPart> stop{{8, "c"},       {8, "kc"},  {4, "ksc", true, true, 4},
                                 {16, "KSHBc"},  {8, "bcl"}, {4, "sc"},
                                 {16, "KSHBCL"}, {8, "kh"}};

const std::vector<FormPart> flat{{32, "KSHBC", false, false}};

} // namespace

TEST_CASE("Sections begin where parts begin", "[beats][form]") {
    int right = 0, all = 0, wrong = 0;
    for (const auto& parts : {club, verses, stop})
        for (const Pattern& pattern : {four_on_the_floor, breakbeat, waltz}) {
            const Heard h = hear(pattern, parts, {.bpm = pattern.beats == 3 ? 138.0 : 124.0, .start_s = 0.7});
            tiles(h.grid);
            std::vector<double> found;
            for (std::size_t i = 1; i < h.grid.sections.size(); ++i)
                found.push_back(h.bar_of(h.grid.sections[i].first));
            const auto near = [](double x, const auto& in) {
                return std::any_of(in.begin(), in.end(), [&](double y) { return std::abs(x - y) < 1.05; });
            };
            for (int border : h.played.borders) {
                ++all;
                right += near(border, found);
            }
            for (double x : found)
                wrong += !near(x, h.played.borders);
        }
    INFO(right << " of " << all << " borders within one bar, " << wrong << " elsewhere");
    CHECK(right >= 0.9 * all);
    CHECK(wrong <= 0.1 * all);
}

TEST_CASE("Phrases begin with parts and every eight bars in them", "[beats][form]") {
    const Heard h = hear(four_on_the_floor, club);
    CHECK(h.grid.bars_per_phrase == 8);
    REQUIRE(h.grid.phrases.size() >= 8);
    for (std::size_t p = 0; p < 8; ++p)
        CHECK(h.bar_of(h.grid.phrases[p].first) == Approx(8.0 * static_cast<double>(p)).margin(0.02));
    CHECK(h.grid.phrase_confidence > 0.4 * h.grid.downbeat_confidence); // where the bars are right
}

TEST_CASE("A part of four bars makes a short phrase and the next starts anew", "[beats][form]") {
    const Heard h = hear(four_on_the_floor, verses);
    std::vector<long> begins;
    for (const Phrase& p : h.grid.phrases)
        begins.push_back(std::lround(h.bar_of(p.first)));
    const std::vector<long> expected{0, 4, 12, 20, 28, 36, 44, 52, 60, 68};
    REQUIRE(begins.size() >= expected.size());
    begins.resize(expected.size());
    CHECK(begins == expected);
}

TEST_CASE("Parts of sixteen and of thirty-two bars without a seam are one phrase each", "[beats][form]") {
    for (int bars : {16, 32}) {
        const std::vector<FormPart> parts{
            {bars, "kh"}, {bars, "kshb"}, {bars, "KSHBCL"}, {bars, "c"}, {bars, "KSHBCL"}};
        const Heard h = hear(four_on_the_floor, parts, {.bpm = 150});
        INFO(bars << " bars");
        CHECK(h.grid.bars_per_phrase == bars);
        REQUIRE(h.grid.phrases.size() >= 5);
        for (std::size_t p = 0; p < 5; ++p)
            CHECK(h.bar_of(h.grid.phrases[p].first) == Approx(bars * static_cast<double>(p)).margin(0.02));
    }
}

TEST_CASE("The arrival is where loudness and low end come back and stay", "[beats][form]") {
    const Heard h = hear(four_on_the_floor, club);
    REQUIRE(h.grid.arrival);
    CHECK(h.bar_of(*h.grid.arrival) == Approx(40).margin(0.02));
    CHECK(h.grid.arrival_confidence > 0.5);
    // One loud bar is no arrival.
    const std::vector<FormPart> burst{
        {16, "hc", false, false}, {1, "KSHBCL", false, false}, {15, "hc", false, false}};
    const Heard b = hear(four_on_the_floor, burst);
    CHECK((!b.grid.arrival || b.grid.arrival_confidence < 0.3));
}

TEST_CASE("A bar of silence makes an arrival surer", "[beats][form]") {
    std::vector<FormPart> parts{{16, "kshbc", false, false}, {16, "KSHBCL", false, false}};
    const Heard plain = hear(four_on_the_floor, parts);
    parts[0].stopped_beats = 4;
    const Heard stopped = hear(four_on_the_floor, parts);
    REQUIRE(stopped.grid.arrival);
    CHECK(stopped.bar_of(*stopped.grid.arrival) == Approx(16).margin(0.02));
    CHECK(stopped.grid.arrival_confidence > plain.grid.arrival_confidence + 0.02);
}

TEST_CASE("A loop is one section and has no arrival", "[beats][form]") {
    for (const Pattern& pattern : {four_on_the_floor, breakbeat, waltz}) {
        const Heard h = hear(pattern, flat);
        CHECK(h.grid.sections.size() == 1);
        CHECK(!h.grid.arrival);
        CHECK(h.grid.arrival_confidence == 0);
        CHECK(h.grid.bars_per_phrase == 8);
        CHECK(h.grid.phrase_confidence < 0.3);
    }
}

TEST_CASE("Twice the amplitude is 6.02 LU more and the same form", "[beats][form]") {
    const Heard a = hear(breakbeat, stop), b = hear(breakbeat, stop, {}, 2);
    REQUIRE(b.grid.beats.size() == a.grid.beats.size());
    CHECK(b.grid.loudness_lufs - a.grid.loudness_lufs == Approx(20 * std::log10(2)).margin(1e-6));
    for (std::size_t i = 0; i < a.grid.beats.size(); ++i) {
        const Beat &x = a.grid.beats[i], &y = b.grid.beats[i];
        if (x.loudness_lufs > -70)
            CHECK(y.loudness_lufs - x.loudness_lufs == Approx(20 * std::log10(2)).margin(1e-4));
        CHECK(y.energy == Approx(x.energy).margin(1e-6));
        CHECK(y.low_end == Approx(x.low_end).margin(1e-6));
    }
    REQUIRE(b.grid.sections.size() == a.grid.sections.size());
    for (std::size_t i = 0; i < a.grid.sections.size(); ++i) {
        CHECK(b.grid.sections[i].first == a.grid.sections[i].first);
        CHECK(b.grid.sections[i].confidence == Approx(a.grid.sections[i].confidence).margin(1e-6));
    }
    REQUIRE(b.grid.phrases.size() == a.grid.phrases.size());
    for (std::size_t i = 0; i < a.grid.phrases.size(); ++i)
        CHECK(b.grid.phrases[i].first == a.grid.phrases[i].first);
    CHECK(b.grid.arrival == a.grid.arrival);
    CHECK(b.grid.arrival_confidence == Approx(a.grid.arrival_confidence).margin(1e-6));
    CHECK(b.grid.phrase_confidence == Approx(a.grid.phrase_confidence).margin(1e-3));
}

TEST_CASE("Silence before the song moves the form with it", "[beats][form]") {
    const Heard a = hear(four_on_the_floor, verses), b = hear(four_on_the_floor, verses, {.start_s = 3.3});
    const auto same = [&](std::size_t x, std::size_t y) {
        CHECK(std::lround(a.bar_of(x)) == std::lround(b.bar_of(y)));
    };
    REQUIRE(b.grid.sections.size() == a.grid.sections.size());
    for (std::size_t i = 0; i < a.grid.sections.size(); ++i)
        same(a.grid.sections[i].first, b.grid.sections[i].first);
    REQUIRE(b.grid.phrases.size() == a.grid.phrases.size());
    for (std::size_t i = 0; i < a.grid.phrases.size(); ++i)
        same(a.grid.phrases[i].first, b.grid.phrases[i].first);
    REQUIRE(a.grid.arrival);
    REQUIRE(b.grid.arrival);
    same(*a.grid.arrival, *b.grid.arrival);
    CHECK(std::abs(a.grid.loudness_lufs - b.grid.loudness_lufs) < 0.1);
}
