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

const std::vector<float>& song() {
    static const std::vector<float> samples = [] {
        Mix mix(rate, 20);
        play(mix, back_beat, 9, [](int) { return 108.0; }, {.start_s = 0.2, .jitter_s = 0.002});
        return mix.samples();
    }();
    return samples;
}

bool same(const BeatGrid& a, const BeatGrid& b) {
    if (a.beats.size() != b.beats.size() || a.tempo_bpm != b.tempo_bpm || a.confidence != b.confidence)
        return false;
    for (std::size_t i = 0; i < a.beats.size(); ++i)
        if (a.beats[i].seconds != b.beats[i].seconds || a.beats[i].position != b.beats[i].position ||
            a.beats[i].strength != b.beats[i].strength || a.beats[i].energy != b.beats[i].energy)
            return false;
    return true;
}

} // namespace

TEST_CASE("The size of the blocks changes no bit", "[beats]") {
    const auto whole = find_beats({song()}, rate, song().size());
    REQUIRE(whole);
    REQUIRE(whole->beats.size() > 30);
    for (const std::size_t block :
         {std::size_t{7}, std::size_t{511}, std::size_t{4096}, std::size_t{65536}}) {
        const auto cut_up = find_beats({song()}, rate, block);
        REQUIRE(cut_up);
        CHECK(same(*whole, *cut_up));
    }
    const std::vector<float> brief(song().begin(), song().begin() + 3 * rate);
    const auto a = find_beats({brief}, rate, 1), b = find_beats({brief}, rate);
    REQUIRE(a);
    REQUIRE(b);
    CHECK(same(*a, *b));
}

TEST_CASE("Gain moves nothing", "[beats]") {
    const auto plain = find_beats({song()}, rate);
    REQUIRE(plain);
    for (const float gain : {0.25f, 0.03f, 3.7f}) {
        auto scaled = song();
        for (float& x : scaled)
            x *= gain;
        const auto grid = find_beats({scaled}, rate);
        REQUIRE(grid);
        REQUIRE(grid->beats.size() == plain->beats.size());
        for (std::size_t i = 0; i < grid->beats.size(); ++i) {
            CHECK(std::abs(grid->beats[i].seconds - plain->beats[i].seconds) < 2e-5);
            CHECK(grid->beats[i].position == plain->beats[i].position);
        }
    }
}

TEST_CASE("Silence put before the song shifts every beat by its length", "[beats]") {
    const auto plain = find_beats({song()}, rate);
    REQUIRE(plain);
    for (const int samples : {1000, 44100, 123457}) {
        std::vector<float> late(static_cast<std::size_t>(samples), 0.0f);
        late.insert(late.end(), song().begin(), song().end());
        const auto grid = find_beats({late}, rate);
        REQUIRE(grid);
        REQUIRE(grid->beats.size() == plain->beats.size());
        const double shift = static_cast<double>(samples) / rate;
        for (std::size_t i = 0; i < grid->beats.size(); ++i) {
            CHECK(std::abs(grid->beats[i].seconds - plain->beats[i].seconds - shift) <
                  0.0005); // cells of 0.73 ms
            CHECK(grid->beats[i].position == plain->beats[i].position);
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
