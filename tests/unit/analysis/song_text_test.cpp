// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "analysis/sealed.h"
#include "analysis/song_text.h"
#include "support/catch.h"
#include "unit/analysis/spoil.h"
#include "unit/analysis/values.h"

#include <set>

using namespace downball;
using namespace downball::analysis;
using namespace downball::test;
using text::Json;

namespace {

const std::string id = "0123456789abcdef";

void check_same(const BeatGrid& a, const BeatGrid& b) {
    REQUIRE(a.beats.size() == b.beats.size());
    for (std::size_t i = 0; i < a.beats.size(); ++i) {
        const auto &one = a.beats[i], &other = b.beats[i];
        CHECK(bits({one.seconds, one.strength, one.energy, one.low_end, one.loudness_lufs}) ==
              bits({other.seconds, other.strength, other.energy, other.low_end, other.loudness_lufs}));
        CHECK(one.position == other.position);
    }
    REQUIRE(a.textures.size() == b.textures.size());
    for (std::size_t i = 0; i < a.textures.size(); ++i) {
        CHECK(a.textures[i].tone == b.textures[i].tone);
        CHECK(a.textures[i].level == b.textures[i].level);
    }
    REQUIRE(a.other_tempi.size() == b.other_tempi.size());
    for (std::size_t i = 0; i < a.other_tempi.size(); ++i)
        CHECK(bits({a.other_tempi[i].tempo_bpm, a.other_tempi[i].likelihood}) ==
              bits({b.other_tempi[i].tempo_bpm, b.other_tempi[i].likelihood}));
    REQUIRE(a.sections.size() == b.sections.size());
    for (std::size_t i = 0; i < a.sections.size(); ++i) {
        CHECK(a.sections[i].first == b.sections[i].first);
        CHECK(a.sections[i].last == b.sections[i].last);
        CHECK(bits({a.sections[i].energy, a.sections[i].confidence}) ==
              bits({b.sections[i].energy, b.sections[i].confidence}));
    }
    REQUIRE(a.phrases.size() == b.phrases.size());
    for (std::size_t i = 0; i < a.phrases.size(); ++i) {
        CHECK(a.phrases[i].first == b.phrases[i].first);
        CHECK(a.phrases[i].last == b.phrases[i].last);
    }
    CHECK(bits({a.duration_s, a.tempo_bpm, a.residual_s, a.confidence, a.downbeat_confidence, a.loudness_lufs,
                a.phrase_confidence, a.arrival_confidence}) ==
          bits({b.duration_s, b.tempo_bpm, b.residual_s, b.confidence, b.downbeat_confidence, b.loudness_lufs,
                b.phrase_confidence, b.arrival_confidence}));
    CHECK(std::vector{a.beats_per_bar, a.division, a.bars_per_phrase} ==
          std::vector{b.beats_per_bar, b.division, b.bars_per_phrase});
    CHECK(a.steady == b.steady);
    CHECK(a.arrival == b.arrival);
}

} // namespace

TEST_CASE("a song's beats come back as they were kept, to the last bit") {
    Dice dice(30);
    const auto document = song_document(id, {});
    for (int round = 0; round < 100; ++round) {
        CAPTURE(round);
        const auto grid = any_grid(dice);
        const auto read = unsealed(document, sealed(document, to_json(grid)));
        REQUIRE(read.seal == Seal::whole);
        const auto back = grid_from(read.found);
        REQUIRE(back);
        check_same(grid, *back);
    }
}

TEST_CASE("songs as they are kept fit the schema") {
    Dice dice(31);
    const auto document = song_document(id, {});
    for (int round = 0; round < 30; ++round) {
        const auto root = text::parse_json(sealed(document, to_json(any_grid(dice))), document.name);
        REQUIRE(root);
        const auto fits = text::validate(*root, "analysis", document.name);
        INFO((fits ? std::string() : to_string(fits.error())));
        CHECK(fits);
    }
}

TEST_CASE("the schema takes no clip for a song, nor a member that is not ours") {
    Dice dice(32);
    auto root = *text::parse_json(sealed(song_document(id, {}), to_json(any_grid(dice))), "song");
    REQUIRE(text::validate(root, "analysis", "song"));
    for (auto& [name, value] : root.object())
        if (name == "downball_analysis") value = "clip";
    CHECK_FALSE(text::validate(root, "analysis", "song"));
    for (auto& [name, value] : root.object())
        if (name == "downball_analysis") value = "song";
    for (auto& [name, value] : root.object())
        if (name == "found") value.add("mood", "blue");
    CHECK_FALSE(text::validate(root, "analysis", "song"));
}

TEST_CASE("a song with a member missing or of another type is none") {
    Dice dice(33);
    BeatGrid grid;
    grid.beats = {{0.5, 1, 1, 1, 1, -12}, {1.0, 2, 0.5, 0.5, 0.5, -13}};
    grid.textures = {any_texture(dice), any_texture(dice)};
    grid.other_tempi = {{60, 0.25}};
    grid.sections = {{0, 2, 0.5, 1}};
    grid.phrases = {{0, 2}};
    grid.arrival = 1;
    const Json whole(to_json(grid));
    REQUIRE(grid_from(whole));
    CHECK(each_spoilt(whole, [](const Json& spoilt) { return grid_from(spoilt).has_value(); }) > 300);
}

TEST_CASE("parts of a song that lie outside its beats are refused") {
    Dice dice(34);
    BeatGrid good;
    good.beats = {{0.5, 1, 1, 1, 1, -12}, {1.0, 2, 0.5, 0.5, 0.5, -13}};
    const auto taken = [&](auto change) {
        auto grid = good;
        change(grid);
        return grid_from(Json(to_json(grid))).has_value();
    };
    CHECK(taken([](BeatGrid&) {}));
    CHECK(taken([](BeatGrid& grid) { grid.sections = {{0, 2, 1, 1}}; }));
    CHECK_FALSE(taken([](BeatGrid& grid) { grid.sections = {{0, 3, 1, 1}}; }));
    CHECK_FALSE(taken([](BeatGrid& grid) { grid.sections = {{2, 1, 1, 1}}; }));
    CHECK_FALSE(taken([](BeatGrid& grid) { grid.phrases = {{1, 3}}; }));
    CHECK_FALSE(taken([](BeatGrid& grid) { grid.arrival = 2; }));
    CHECK_FALSE(taken([&](BeatGrid& grid) { grid.textures = {any_texture(dice)}; }));
    CHECK_FALSE(taken([](BeatGrid& grid) { std::swap(grid.beats[0], grid.beats[1]); }));
}

TEST_CASE("what was said of a song is in its document's name, and each saying has its own") {
    CHECK(song_document(id, {}).name == id + ".song.json");
    std::vector<SongHints> said{{.bpm = 120.0},
                                {.bpm = 120.00000001},
                                {.tempo = TempoHint::half},
                                {.tempo = TempoHint::twice},
                                {.beat_one_s = 0.0},
                                {.beat_one_s = 120.0},
                                {.beats_per_bar = 3},
                                {.beats_per_bar = 4},
                                {.beat_one_s = 120.0, .beats_per_bar = 4}};
    std::set<std::string> names{song_document(id, {}).name};
    for (const auto& hints : said) {
        const auto name = song_document(id, hints).name;
        CHECK(name.starts_with(id + "-"));
        CHECK(name.ends_with(".song.json"));
        CHECK(song_document(id, hints).name == name);
        names.insert(name);
    }
    CHECK(names.size() == said.size() + 1);
}
