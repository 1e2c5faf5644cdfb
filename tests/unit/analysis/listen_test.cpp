// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "unit/media/clips.h"

#include "downball/analysis/listen.h"

#include <cmath>
#include <fmt/format.h>

using namespace downball;
using namespace downball::test;

TEST_CASE("beats of a song with pictures count from the first picture, as its events in the lists do") {
    TempFolder folder;
    // A noise burst each half second; a sound of 0.25 s put late in a film with pictures from the start.
    ffmpeg("-f lavfi -i \"aevalsrc='(random(0)-0.5)*exp(-40*mod(t,0.5))':s=44100:d=12\" -c:a pcm_s16le " +
           (folder / "song.wav"));
    ffmpeg(bars("25", 12) + "-itsoffset 0.25 -i " + (folder / "song.wav") + " -map 0:v -map 1:a " + h264 +
           "-c:a pcm_s16le " + (folder / "film.mov"));
    const auto alone = analysis::find_beats(folder / "song.wav");
    const auto film = analysis::find_beats(folder / "film.mov");
    REQUIRE(alone);
    REQUIRE(film);
    REQUIRE(alone->beats.size() > 10);
    REQUIRE(film->beats.size() == alone->beats.size());
    for (std::size_t i = 0; i < alone->beats.size(); ++i)
        CHECK(film->beats[i].seconds - alone->beats[i].seconds == Approx(0.25).margin(0.001));
    CHECK(film->duration_s - alone->duration_s == Approx(0.25).margin(0.001));

    // Beat one of the film at 0.25 s is the first sample of its sound; before that there is none.
    CHECK(analysis::find_beats(folder / "film.mov", {.beat_one_s = 0.25}));
    for (const double outside : {0.2, 12.3}) {
        const auto refused = analysis::find_beats(folder / "film.mov", {.beat_one_s = outside});
        REQUIRE_FALSE(refused);
        CHECK(refused.error().fault == Fault::bad_input);
        CHECK(refused.error().where == folder / "film.mov");
        CHECK(refused.error().what.find(fmt::format("at {} s", outside)) != std::string::npos);
    }
}

TEST_CASE("pictures whose sound cannot be listened to are footage, sound alone that cannot be is none") {
    TempFolder folder;
    ffmpeg(bars("25", 1) + "-f lavfi -i sine=r=4000:d=1 " + h264 + "-c:a pcm_s16le " + (folder / "film.mov"));
    ffmpeg("-f lavfi -i sine=r=4000:d=1 -c:a pcm_s16le " + (folder / "sound.wav"));
    analysis::Folder kept;
    const auto found = analysis::survey({{folder / "film.mov"}, {folder / "sound.wav"}}, 0.5, kept);
    REQUIRE(found);
    CHECK(found->media.at(folder / "film.mov").has_video);
    CHECK(found->heard.empty());
    REQUIRE(found->unheard.contains(folder / "film.mov"));
    CHECK(found->unheard.at(folder / "film.mov").what.find("4000 samples a second") != std::string::npos);
    CHECK_FALSE(found->failed.contains(folder / "film.mov"));
    CHECK(found->failed.contains(folder / "sound.wav"));
}

TEST_CASE("what the user says of a song decides its tempo, its metre and where its bars begin") {
    TempFolder folder;
    ffmpeg("-f lavfi -i \"aevalsrc='(random(0)-0.5)*exp(-40*mod(t,0.5))':s=44100:d=24\" -c:a pcm_s16le " +
           (folder / "song.wav"));
    ffmpeg(bars("25", 24) + "-itsoffset 0.25 -i " + (folder / "song.wav") + " -map 0:v -map 1:a " + h264 +
           "-c:a pcm_s16le " + (folder / "film.mov"));
    const auto tempo = [&](const SongHints& hints) {
        const auto grid = analysis::find_beats(folder / "song.wav", hints);
        REQUIRE(grid);
        return grid->tempo_bpm;
    };
    CHECK(tempo({}) == Approx(120).epsilon(0.001));
    CHECK(tempo({.tempo = TempoHint::half}) == Approx(60).epsilon(0.001));
    CHECK(tempo({.tempo = TempoHint::twice}) == Approx(240).epsilon(0.001));
    CHECK(tempo({.bpm = 60.0}) == Approx(60).epsilon(0.001));
    CHECK(tempo({.bpm = 122.0}) == Approx(120).epsilon(0.001)); // to within 4 %

    // Clicks all alike say nothing of bars; media seconds of the film lie 0.25 s later.
    for (const auto& [file, one_s] : {std::pair{"song.wav", 2.5}, std::pair{"film.mov", 2.75}}) {
        const auto grid = analysis::find_beats(folder / file, {.beat_one_s = one_s, .beats_per_bar = 3});
        REQUIRE(grid);
        CHECK(grid->beats_per_bar == 3);
        int downbeats = 0;
        for (const Beat& beat : grid->beats) {
            if (beat.position != 1) continue;
            ++downbeats;
            const double bars_off = (beat.seconds - one_s) / 1.5;
            CHECK(std::abs(bars_off - std::round(bars_off)) * 1.5 < 0.005);
        }
        CHECK(downbeats >= 14);
    }
}
