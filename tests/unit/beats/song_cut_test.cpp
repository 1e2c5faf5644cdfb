// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "support/dice.h"
#include "support/song_forms.h"

#include "downball/beats/song_cut.h"

#include <algorithm>
#include <cmath>

using namespace downball;
using namespace downball::beats;
using downball::test::Part;
using downball::test::song_of;

namespace {

constexpr double sample_s = 1.0 / 48000;

// Intro, verse, build, chorus (the arrival), verse, chorus, outro: 120 to the minute, so a bar lasts 2 s.
BeatGrid pop_song() {
    auto grid =
        song_of({{8, 0.2, 0}, {8, 0.4, 1}, {8, 0.5, 2}, {8, 0.9, 3}, {8, 0.4, 1}, {8, 0.9, 3}, {8, 0.2, 0}},
                120, 0.5, 3);
    grid.arrival = 24 * 4;
    grid.arrival_confidence = 0.8;
    return grid;
}

SongCut cut_of(const BeatGrid& grid, const SongWish& wish) {
    const auto cut = cut_song(grid, wish);
    REQUIRE(cut);
    return *cut;
}

// The beat that stands `ahead` after an instant, if there is one to the sample.
std::optional<std::size_t> beat_at(const BeatGrid& grid, double seconds) {
    for (std::size_t i = 0; i < grid.beats.size(); ++i)
        if (std::abs(grid.beats[i].seconds - seconds) <= sample_s) return i;
    return std::nullopt;
}

std::size_t bar_in_phrase(const BeatGrid& grid, std::size_t beat) {
    std::size_t first = 0;
    for (const Phrase& phrase : grid.phrases)
        if (phrase.first <= beat) first = phrase.first;
    return (beat - first) / 4;
}

std::optional<double> arrival_s(const BeatGrid& grid, const SongCut& cut) {
    const auto heard = cut_grid(grid, cut);
    if (!heard.arrival) return std::nullopt;
    return heard.beats[*heard.arrival].seconds;
}

} // namespace

TEST_CASE("a song is cut in on a phrase, keeps its arrival with a build, and ends on a border in a fade") {
    const auto grid = pop_song();
    const auto cut = cut_of(grid, {.length_s = 40, .jump = false});
    REQUIRE(cut.pieces.size() == 1);
    const auto in = beat_at(grid, cut.pieces[0].in_s + ahead_of_beat_s);
    REQUIRE(in);
    CHECK(bar_in_phrase(grid, *in) % 4 == 0);
    const auto arrival = arrival_s(grid, cut);
    REQUIRE(arrival);
    CHECK(*arrival >= 2);
    CHECK(*arrival <= 30);
    CHECK(cut.length_s() + cut.silence_s == Approx(40).margin(1e-9));
    CHECK(cut.ending == SongEnding::phrase);
    CHECK(cut.fade_out_s > 0);
    CHECK(cut.fade_out_s <= 2);
}

TEST_CASE(
    "whatever is wished for: whole samples, a bar of silence at most, the arrival inside if it can be") {
    const auto grid = pop_song();
    for (double length_s = 6; length_s < grid.duration_s; length_s += 1.37)
        for (const bool jump : {false, true}) {
            INFO(length_s << " s, jump " << jump);
            const auto cut = cut_of(grid, {.length_s = length_s, .jump = jump});
            CHECK(cut.length_s() + cut.silence_s == Approx(length_s).margin(1e-9));
            CHECK(cut.silence_s <= 2 + 1e-9);
            for (const SongPiece& piece : cut.pieces) {
                CHECK(piece.in_s >= 0);
                CHECK(piece.out_s <= grid.duration_s + sample_s);
                CHECK(piece.in_s < piece.out_s);
                for (const double s : {piece.in_s, piece.out_s})
                    CHECK(std::abs(s / sample_s - std::round(s / sample_s)) < 1e-4);
            }
            if (cut.pieces[0].in_s > 0) {
                const auto in = beat_at(grid, cut.pieces[0].in_s + ahead_of_beat_s);
                REQUIRE(in);
                CHECK(grid.beats[*in].position == 1);
            }
            const auto arrival = arrival_s(grid, cut);
            REQUIRE(arrival);
            CHECK(*arrival < length_s - 2);
            CHECK(cut.ending != SongEnding::cut_off);
        }
}

TEST_CASE("a fade begins on a downbeat, or the music stops before one") {
    const auto grid = pop_song();
    for (double length_s = 10; length_s < 70; length_s += 0.61) {
        const auto cut = cut_of(grid, {.length_s = length_s, .jump = false});
        if (cut.ending == SongEnding::own) continue;
        INFO(length_s << " s");
        const double out_s = cut.pieces.back().out_s;
        auto border = beat_at(grid, out_s - cut.fade_out_s);
        if (!border) border = beat_at(grid, out_s + ahead_of_beat_s);
        REQUIRE(border);
        CHECK(grid.beats[*border].position == 1);
    }
}

TEST_CASE("a jump joins downbeats at one place of their phrases that sound alike") {
    const auto grid = pop_song();
    int jumps = 0;
    for (double length_s = 20; length_s < 150; length_s += 1.7) {
        const auto cut = cut_of(grid, {.length_s = length_s, .jump = true});
        if (cut.pieces.size() < 2) continue;
        ++jumps;
        INFO(length_s << " s");
        const auto leave = beat_at(grid, cut.pieces[0].out_s + ahead_of_beat_s);
        const auto enter = beat_at(grid, cut.pieces[1].in_s + ahead_of_beat_s);
        REQUIRE((leave && enter));
        CHECK(grid.beats[*leave].position == 1);
        CHECK(grid.beats[*enter].position == 1);
        CHECK(bar_in_phrase(grid, *leave) == bar_in_phrase(grid, *enter));
        CHECK(cut.likeness >= 0.88);
        CHECK(cut.crossfade_s > 0);
        CHECK(cut.crossfade_s / 2 < ahead_of_beat_s); // no attack lies in it
        for (std::size_t i = 0; i < 4; ++i) // the bar that is heard sounds as the one that would have come
            CHECK(grid.textures[*leave + i].tone == grid.textures[*enter + i].tone);
    }
    CHECK(jumps >= 3);
}

TEST_CASE("a song of a single phrase jumps by its fours") {
    const auto grid = song_of({{7, 0.5, 0}}, 120, 0, 0.5);
    const auto cut = cut_of(grid, {.length_s = 17, .jump = true});
    REQUIRE(cut.pieces.size() == 2);
    CHECK(cut.pieces[0].out_s - cut.pieces[1].in_s == Approx(8).margin(2 * sample_s));
    // Where there are whole phrases to choose from, half a phrase back is no jump.
    const auto twice = song_of({{8, 0.5, 0}, {8, 0.5, 0}}, 120, 0, 0.5);
    const auto longer = cut_of(twice, {.length_s = 37, .jump = true});
    REQUIRE(longer.pieces.size() == 2);
    CHECK(longer.pieces[0].out_s - longer.pieces[1].in_s == Approx(16).margin(2 * sample_s));
}

TEST_CASE("bars are counted from the upbeat of a song that begins with one") {
    auto grid = song_of({{9, 0.5, 0}, {8, 0.9, 1}}, 120, 0, 0.5);
    grid.beats.erase(grid.beats.begin(), grid.beats.begin() + 2); // the song's first beat is a third one
    grid.textures.erase(grid.textures.begin(), grid.textures.begin() + 2);
    for (Phrase& phrase : grid.phrases) {
        phrase.first -= phrase.first > 0 ? 2 : 0;
        phrase.last -= 2;
    }
    for (Section& section : grid.sections) {
        section.first -= section.first > 0 ? 2 : 0;
        section.last -= 2;
    }
    // One phrase of eight and one of another sound: nowhere comes a place of the phrase again, so nothing is alike.
    CHECK(cut_of(grid, {.length_s = 40, .jump = true}).pieces.size() == 1);
}

TEST_CASE("no jump where it is forbidden, where bars are not known, where nothing is alike") {
    const SongWish wish{.length_s = 100, .jump = true, .start_s = 0};
    auto grid = pop_song();
    REQUIRE(cut_of(pop_song(), {.length_s = 130, .jump = true, .start_s = 0}).pieces.size() ==
            2); // longer than it is
    CHECK(cut_of(pop_song(), {.length_s = 130, .jump = false, .start_s = 0}).pieces.size() == 1);
    auto barless = pop_song();
    barless.beats_per_bar = 0;
    for (Beat& beat : barless.beats)
        beat.position = 0;
    barless.phrases.clear();
    CHECK(cut_of(barless, {.length_s = 130, .jump = true, .start_s = 0}).pieces.size() == 1);
    auto doubtful = pop_song();
    doubtful.confidence = 0.3;
    CHECK(cut_of(doubtful, {.length_s = 130, .jump = true, .start_s = 0}).pieces.size() == 1);
    auto ever_new = pop_song();
    test::Dice dice(3);
    for (BeatTexture& texture : ever_new.textures) {
        texture.tone.fill(0);
        texture.tone[static_cast<std::size_t>(dice.whole(0, 11))] = 1;
        for (float& level : texture.level)
            level = static_cast<float>(dice.unit());
    }
    CHECK(cut_of(ever_new, {.length_s = 130, .jump = true, .start_s = 0}).pieces.size() == 1);
    CHECK(cut_of(grid, wish).length_s() <= 100 + 1e-9);
}

TEST_CASE("a start that was asked for is kept to the sample") {
    const auto grid = pop_song();
    const auto cut = cut_of(grid, {.length_s = 30, .jump = true, .start_s = 12.3456789});
    CHECK(std::abs(cut.pieces[0].in_s - 12.3456789) <= sample_s / 2);
    CHECK(cut.length_s() + cut.silence_s == Approx(30).margin(1e-9));
    const auto late = cut_song(grid, {.length_s = 30, .jump = true, .start_s = 500});
    REQUIRE_FALSE(late);
    CHECK(late.error().fault == Fault::bad_input);
    CHECK(late.error().what.find("song.start_s") != std::string::npos);
    CHECK_FALSE(cut_song(grid, {.length_s = 0, .jump = true}));
}

TEST_CASE("the whole song ends as it does, and so does a cut that reaches its end") {
    const auto grid = pop_song();
    const auto whole = cut_of(grid, {});
    REQUIRE(whole.pieces.size() == 1);
    CHECK(whole.pieces[0].in_s == 0);
    CHECK(std::abs(whole.pieces[0].out_s - grid.duration_s) < sample_s);
    CHECK(whole.ending == SongEnding::own);
    CHECK(whole.fade_out_s == 0);
    const auto frame_less = cut_of(grid, {.length_s = grid.duration_s - 0.02, .jump = true, .start_s = 0});
    CHECK(frame_less.ending == SongEnding::own);
    CHECK(frame_less.fade_out_s <= 0.1);
    // 80.5 s before its end a phrase begins: from there to the end and no further.
    const auto tail = cut_of(grid, {.length_s = 83, .jump = false});
    CHECK(tail.ending == SongEnding::own);
}

TEST_CASE("a song that is too short gives what it has") {
    const auto grid = pop_song();
    const auto cut = cut_of(grid, {.length_s = 1000, .jump = false});
    CHECK(cut.pieces[0].in_s == 0);
    CHECK(std::abs(cut.length_s() - grid.duration_s) < sample_s);
    CHECK(cut.silence_s == 0);
}

TEST_CASE("without phrases it is cut on bars, without bars on beats, without beats somewhere") {
    auto grid = pop_song();
    grid.phrases.clear();
    grid.bars_per_phrase = 0;
    auto cut = cut_of(grid, {.length_s = 25, .jump = true});
    const auto in = beat_at(grid, cut.pieces[0].in_s + ahead_of_beat_s);
    REQUIRE(in);
    CHECK(grid.beats[*in].position == 1);
    grid.beats_per_bar = 0;
    grid.sections.clear();
    for (Beat& beat : grid.beats)
        beat.position = 0;
    cut = cut_of(grid, {.length_s = 25, .jump = true});
    CHECK(beat_at(grid, cut.pieces[0].in_s + ahead_of_beat_s));
    BeatGrid silent;
    silent.duration_s = 60;
    cut = cut_of(silent, {.length_s = 25, .jump = true});
    CHECK(cut.length_s() == Approx(25).margin(1e-9));
    CHECK(cut_grid(silent, cut).beats.empty());
}

TEST_CASE("one grid and wish give one cut") {
    const auto grid = pop_song();
    for (double length_s = 20; length_s < 140; length_s += 13) {
        const auto a = cut_of(grid, {.length_s = length_s, .jump = true}),
                   b = cut_of(grid, {.length_s = length_s, .jump = true});
        REQUIRE(a.pieces.size() == b.pieces.size());
        for (std::size_t p = 0; p < a.pieces.size(); ++p)
            CHECK((a.pieces[p].in_s == b.pieces[p].in_s && a.pieces[p].out_s == b.pieces[p].out_s));
    }
}
