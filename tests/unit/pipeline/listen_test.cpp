// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "unit/media/clips.h"

#include "downball/pipeline/listen.h"

using namespace downball;
using namespace downball::test;

TEST_CASE("beats of a song with pictures count from the first picture, as its events in the lists do") {
    TempFolder folder;
    // A noise burst each half second; a sound of 0.25 s put late in a film with pictures from the start.
    ffmpeg("-f lavfi -i \"aevalsrc='(random(0)-0.5)*exp(-40*mod(t,0.5))':s=44100:d=12\" -c:a pcm_s16le " +
           (folder / "song.wav"));
    ffmpeg(bars("25", 12) + "-itsoffset 0.25 -i " + (folder / "song.wav") + " -map 0:v -map 1:a " + h264 +
           "-c:a pcm_s16le " + (folder / "film.mov"));
    const auto alone = pipeline::find_beats(folder / "song.wav");
    const auto film = pipeline::find_beats(folder / "film.mov");
    REQUIRE(alone);
    REQUIRE(film);
    REQUIRE(alone->beats.size() > 10);
    REQUIRE(film->beats.size() == alone->beats.size());
    for (std::size_t i = 0; i < alone->beats.size(); ++i)
        CHECK(film->beats[i].seconds - alone->beats[i].seconds == Approx(0.25).margin(0.001));
    CHECK(film->duration_s - alone->duration_s == Approx(0.25).margin(0.001));
}
