// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// What must not change the beats, and what must change them in step: laws, whatever the song.
#include "support/beat_check.h"
#include "support/catch.h"
#include "support/song_patterns.h"

using namespace downball;
using namespace downball::test;

namespace {

constexpr int rate = 44100;

// One of a steady tempo, whose beats lie on a grid, and one that quickens, whose beats are followed.
const std::vector<float>& song(bool quickens = false) {
    static const auto play_it = [](double quicker_a_bar) {
        Mix mix(rate, 20);
        play(mix, back_beat, 9, [=](int bar) { return 108 + quicker_a_bar * bar; },
             {.start_s = 0.2, .jitter_s = 0.002});
        return mix.samples();
    };
    static const std::vector<float> steady = play_it(0), live = play_it(1.5);
    return quickens ? live : steady;
}

// Every figure of a grid.
std::vector<double> figures(const BeatGrid& g) {
    const auto of = [](std::size_t i) { return static_cast<double>(i); };
    std::vector<double> all{g.duration_s,
                            g.tempo_bpm,
                            static_cast<double>(g.beats_per_bar),
                            static_cast<double>(g.division),
                            g.steady ? 1.0 : 0.0,
                            g.residual_s,
                            g.confidence,
                            g.downbeat_confidence,
                            g.loudness_lufs,
                            static_cast<double>(g.bars_per_phrase),
                            g.phrase_confidence,
                            g.arrival ? of(*g.arrival) : -1.0,
                            g.arrival_confidence};
    for (const Beat& b : g.beats)
        all.insert(all.end(), {b.seconds, static_cast<double>(b.position), b.strength, b.energy, b.low_end,
                               b.loudness_lufs});
    for (const BeatTexture& t : g.textures) {
        all.insert(all.end(), t.tone.begin(), t.tone.end());
        all.insert(all.end(), t.level.begin(), t.level.end());
    }
    for (const Section& s : g.sections)
        all.insert(all.end(), {of(s.first), of(s.last), s.energy, s.confidence});
    for (const Phrase& p : g.phrases)
        all.insert(all.end(), {of(p.first), of(p.last)});
    return all;
}

// The beats of `b` are those of `a`, later by `shift_s`, to within `within_s`.
void same_beats(const BeatGrid& a, const BeatGrid& b, double shift_s, double within_s) {
    REQUIRE(a.beats.size() > 30);
    REQUIRE(b.beats.size() == a.beats.size());
    for (std::size_t i = 0; i < a.beats.size(); ++i) {
        CHECK(std::abs(b.beats[i].seconds - a.beats[i].seconds - shift_s) < within_s);
        CHECK(b.beats[i].position == a.beats[i].position);
    }
}

} // namespace

TEST_CASE("The size of the blocks changes no bit", "[beats]") {
    for (const bool quickens : {false, true}) {
        const auto whole = find_beats({song(quickens)}, rate, song(quickens).size());
        REQUIRE(whole);
        REQUIRE(whole->beats.size() > 30);
        CHECK(whole->steady == !quickens);
        for (const std::size_t block :
             {std::size_t{1}, std::size_t{7}, std::size_t{511}, std::size_t{4096}}) {
            const auto cut_up = find_beats({song(quickens)}, rate, block);
            REQUIRE(cut_up);
            CHECK((figures(*whole) == figures(*cut_up))); // in brackets: thousands of figures are not shown
        }
    }
}

TEST_CASE("Gain moves nothing", "[beats]") {
    for (const bool quickens : {false, true}) {
        const auto plain = find_beats({song(quickens)}, rate);
        REQUIRE(plain);
        for (const float gain : {0.25f, 0.1f, 0.03f, 1.995f, 3.7f}) {
            auto scaled = song(quickens);
            for (float& x : scaled)
                x *= gain;
            const auto grid = find_beats({scaled}, rate);
            REQUIRE(grid);
            INFO("gain " << gain << (quickens ? ", quickening" : ", steady"));
            same_beats(*plain, *grid, 0, 2e-5);
        }
    }
}

TEST_CASE("Silence put before the song shifts every beat by its length", "[beats]") {
    for (const bool quickens : {false, true}) {
        const auto plain = find_beats({song(quickens)}, rate);
        REQUIRE(plain);
        for (const int samples : {1, 333, 1000, 44100, 123457}) {
            std::vector<float> late(static_cast<std::size_t>(samples), 0.0f);
            late.insert(late.end(), song(quickens).begin(), song(quickens).end());
            const auto grid = find_beats({late}, rate);
            REQUIRE(grid);
            INFO(samples << (quickens ? " samples, quickening" : " samples, steady"));
            same_beats(*plain, *grid, static_cast<double>(samples) / rate, 0.0005); // cells of 0.73 ms
        }
    }
}

TEST_CASE("Channels are pooled: twice, one-sided or inverted, the beats are the same", "[beats]") {
    const auto mono = find_beats({song()}, rate);
    REQUIRE(mono);
    auto inverted = song();
    for (float& x : inverted)
        x = -x;
    const std::vector<float> nothing(song().size(), 0.0f);
    for (const auto& channels :
         {std::vector{song(), song()}, std::vector{song(), nothing}, std::vector{song(), inverted}}) {
        const auto grid = find_beats(channels, rate);
        REQUIRE(grid);
        REQUIRE(grid->beats.size() == mono->beats.size());
        for (std::size_t i = 0; i < grid->beats.size(); ++i)
            CHECK(std::abs(grid->beats[i].seconds - mono->beats[i].seconds) < 2e-5);
    }
}

TEST_CASE("Any rate from 8 to 192 kHz gives the beats within 2 ms", "[beats]") {
    for (const int hz : {8000, 16000, 32000, 48000, 96000, 192000}) {
        Mix mix(hz, 16);
        const auto played = play(mix, back_beat, 6, [](int) { return 104.0; }, {.start_s = 0.3});
        const auto grid = find_beats({mix.samples()}, hz);
        REQUIRE(grid);
        const auto misses = compare(played.beats, seconds(*grid), 0, played.end_s - 0.1);
        INFO(hz << " Hz, median " << 1e3 * misses.median_s << " ms");
        CHECK(misses.lost == 0);
        CHECK(misses.made_up == 0);
        CHECK(misses.worst_s < 0.002);
    }
}
