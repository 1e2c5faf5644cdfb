// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "timeline/list_media.h"
#include "unit/timeline/small_day.h"

using namespace downball;
using namespace downball::timeline;

namespace {

MediaInfo starting_at(const std::string& label, Rate rate, Counting counting = Counting::non_drop) {
    auto media = test::SmallDay::file("A.mp4", 10, rate);
    media.start = StartTimecode{label, *from_timecode(label, rate, counting), rate, counting};
    return media;
}

} // namespace

TEST_CASE("EDL rule 13: source time is counted in the list's rate") {
    MediaTable table(Rate(25), Counting::non_drop, "/day");
    table.add(test::SmallDay::file("A.mp4", 10.039, Rate(120)), "A");
    CHECK(table.entries[0].first == Frame{0});
    CHECK(table.entries[0].length == Frame{250}); // 250.975, the last one not whole
    CHECK(table.entries[0].path == "/day/cards/A.mp4");
    CHECK(table.notes().empty());
}

TEST_CASE("EDL rule 15: a start label is converted by its frame count") {
    MediaTable list_25(Rate(25), Counting::non_drop, "");
    list_25.add(starting_at("01:00:00:12", Rate(50)), "A"); // 180012 at 50
    CHECK(list_25.entries[0].first == Frame{90006});
    CHECK(list_25.notes().empty());

    // A drop-frame camera in a non-drop list of its rate: the same frame, under another label.
    MediaTable list_2997(Rate(30000, 1001), Counting::non_drop, "");
    list_2997.add(starting_at("01:00:00;00", Rate(30000, 1001), Counting::drop), "A");
    CHECK(list_2997.entries[0].first == Frame{107892}); // facts C1.4
    REQUIRE(list_2997.notes().size() == 1);
    CHECK(list_2997.notes()[0].find("00:59:56:12") != std::string::npos);
    CHECK(list_2997.notes()[0].find("01:00:00;00 (30000/1001, drop frame)") != std::string::npos);
}

TEST_CASE("EDL rule 15: a label between two list frames keeps its exact place") {
    MediaTable table(Rate(25), Counting::non_drop, "");
    table.add(starting_at("01:00:00:13", Rate(50)), "A"); // 90006.5
    CHECK(table.entries[0].first == Frame{90006});
    CHECK(table.entries[0].phase == Fraction(1, 2));
    CHECK(table.entries[0].label_s(Rate(25)) == Fraction(180013, 50));
    // Source frame 90007 of the list is half a list frame, one picture, into the file.
    CHECK(table.entries[0].media_s(Frame{90007}, Rate(25)) == Approx(0.02));
    CHECK(table.notes().empty());
}

TEST_CASE("a file of variable rate, or without pictures, has no rate of its own") {
    MediaTable table(Rate(25), Counting::non_drop, "");
    table.add(test::SmallDay::file("phone.mp4", 4, {}), "P");
    auto song = test::SmallDay::file("song.wav", 4, Rate(25));
    song.has_video = false;
    table.add(song, "S");
    CHECK_FALSE(table.entries[0].rate);
    CHECK_FALSE(table.entries[1].rate);
    CHECK(table.entries[1].audio_channels == 2);
}
