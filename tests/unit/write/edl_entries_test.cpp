// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "support/hand_cut.h"
#include "write/edl_entries.h"

using namespace downball;
using write::edl_parts;

TEST_CASE("one part holds every event in record order, picture before song before natural sound") {
    const auto parts = edl_parts(test::hand_cut(), 999);
    REQUIRE(parts.size() == 1);
    std::string channels;
    for (const auto& entry : parts[0])
        channels += std::string(entry.channel) + " ";
    CHECK(channels == "V A A2 V V V V A2 ");
}

TEST_CASE("sound that runs over a border is divided there, source and all") {
    auto cut = test::hand_cut();
    cut.natural[0].record.out += Frame{10}; // runs on under the second shot
    cut.natural[0].source.out += Frame{10};
    const auto parts = edl_parts(cut, 3); // one picture, the song, one sound
    REQUIRE(parts.size() == 4);           // shots 3 and 4 have no sound of their own
    const auto& first = parts[0].at(2);
    const auto& second = parts[1].at(2);
    CHECK(first.record == FrameRange{{0}, {40}});
    CHECK(first.source == FrameRange{{900039}, {900079}});
    CHECK(second.record == FrameRange{{40}, {50}});
    CHECK(second.source == FrameRange{{900079}, {900089}});
    Frame song{50};
    for (const auto& part : parts)
        for (const auto& entry : part)
            if (std::string(entry.channel) == "A") {
                CHECK(entry.source.in == song);
                song = entry.source.out;
            }
    CHECK(song == Frame{290});
}

TEST_CASE("a marker of the song stands in the part it falls into") {
    const auto parts = edl_parts(test::hand_cut(), 3);
    std::size_t markers = 0;
    for (const auto& part : parts)
        for (const auto& entry : part)
            for (const auto& marker : entry.markers) {
                CHECK(entry.record.contains(marker.at));
                ++markers;
            }
    CHECK(markers == 5);
}
