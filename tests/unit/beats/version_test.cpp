// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// The sample's own song.
#include "song.h"
#include "support/beat_check.h"
#include "support/catch.h"

using namespace downball;

// Beats that were kept are taken for what the finder would find. Whoever changes what it finds has to say so.
TEST_CASE("what the finder counts is what its version has counted before") {
    INFO("if this fails and is meant to: raise beats::tracker_version, then write the new figures here");
    REQUIRE(beats::tracker_version == 1);
    const sample::Stereo song = sample::make_song();
    const auto found = test::find_beats({song.left, song.right}, sample::audio_rate);
    REQUIRE(found);
    double seconds = 0, strength = 0;
    for (const auto& beat : found->beats) {
        seconds += beat.seconds;
        strength += beat.strength;
    }
    CHECK(found->beats.size() == 158);
    CHECK(seconds == Approx(5969.42662).margin(1e-3));
    CHECK(strength == Approx(111.63813).margin(1e-3));
    CHECK(found->tempo_bpm == Approx(126.0004).margin(1e-3));
    CHECK(found->confidence == Approx(0.8144).margin(1e-3));
    CHECK(found->downbeat_confidence == Approx(0.74).margin(1e-3));
    CHECK(found->sections.size() == 7);
    CHECK(found->phrases.size() == 7);
    CHECK(found->loudness_lufs == Approx(-12.2).margin(1e-3));
}
