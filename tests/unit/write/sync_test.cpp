// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "support/hand_cut.h"

#include "downball/write/sync.h"

using namespace downball;
using write::delivered;

namespace {

Impact seen_at(double picture_s) {
    Impact impact;
    impact.picture_s = picture_s;
    return impact;
}

} // namespace

TEST_CASE("the song's offset comes from its event, not from the plan") {
    auto cut = test::hand_cut(); // song from frame 50
    CHECK(write::song_offset_s(cut) == 2.0);
    cut.song[0].record.in = Frame{10};
    CHECK(write::song_offset_s(cut) == 1.6);
    cut.song.clear();
    CHECK(write::song_offset_s(cut) == 0);
}

TEST_CASE("a picture after its beat has a positive error") {
    const auto cut = test::hand_cut();
    // Shot 1: source from list frame 38 of the file at record 0. Contact at 2.0 s = frame 50: record
    // frame 12.
    const auto late = delivered(cut, cut.video[0], seen_at(2.0), {2.47, 1, 0, 0}); // beat at record 0.47 s
    CHECK(late.shown_record_s == Approx(0.48));
    CHECK(late.beat_record_s == Approx(0.47));
    CHECK(late.error_s == Approx(0.01));
    CHECK(late.error_frames == Approx(0.25));
    CHECK(late.holds);
    const auto early = delivered(cut, cut.video[0], seen_at(2.0), {2.501, 1, 0, 0});
    CHECK(early.error_frames == Approx(-0.525));
    CHECK_FALSE(early.holds);
}

TEST_CASE("exactly half a frame still holds") {
    const auto cut = test::hand_cut();
    CHECK(delivered(cut, cut.video[0], seen_at(2.0), {2.46, 1, 0, 0}).holds);
    CHECK(delivered(cut, cut.video[0], seen_at(2.0), {2.50, 1, 0, 0}).holds);
}

TEST_CASE("EDL rule 10: the error by the M2 number stands beside the exact one") {
    auto cut = test::hand_cut();
    cut.video[1].speed = Fraction(1, 4); // source from frame 20 at record 40
    // Contact at frame 37.5: 70 record frames in at 1/4, 70.56 at 6.2 / 25.
    const auto anchor = delivered(cut, cut.video[1], seen_at(1.5), {2 + 110 / 25.0, 1, 0, 0});
    CHECK(anchor.error_frames == Approx(0).margin(1e-9));
    CHECK(anchor.m2_error_frames == Approx(17.5 / 0.248 - 70));
    CHECK(anchor.holds);
    CHECK_FALSE(anchor.holds_with_m2);
}
