// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// The sample's own song.
#include "song.h"
#include "support/beat_check.h"
#include "support/catch.h"

#include <cstdio>

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
    std::printf("%zu %.6f %.5f %.4f %.4f %.4f %zu %zu %.4f\n", found->beats.size(), seconds, strength,
                found->tempo_bpm, found->confidence, found->downbeat_confidence, found->sections.size(),
                found->phrases.size(), found->loudness_lufs);
    CHECK(found->beats.size() == 0);
    CHECK(seconds == Approx(0).margin(1e-3));
    CHECK(strength == Approx(0).margin(1e-3));
    CHECK(found->tempo_bpm == Approx(0).margin(1e-4));
    CHECK(found->confidence == Approx(0).margin(1e-3));
    CHECK(found->downbeat_confidence == Approx(0).margin(1e-3));
    CHECK(found->sections.size() == 0);
    CHECK(found->phrases.size() == 0);
    CHECK(found->loudness_lufs == Approx(0).margin(1e-3));
}
