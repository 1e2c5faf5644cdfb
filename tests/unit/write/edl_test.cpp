// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "support/hand_cut.h"
#include "support/list_lines.h"

#include "downball/write/edl.h"

#include <algorithm>
#include <set>

using namespace downball;
using namespace downball::test;
using write::edl;

namespace {

std::vector<std::string> hand_lines() {
    return lines_of((*edl(test::hand_cut(), {.crlf = false}))[0]);
}

} // namespace

TEST_CASE("EDL rule 1: printable ASCII, no byte-order mark, no tabs, one kind of line end") {
    for (const bool crlf : {true, false}) {
        const std::string list = (*edl(test::hand_cut(), {.crlf = crlf}))[0];
        CHECK(list.starts_with("TITLE"));
        CHECK(
            std::ranges::all_of(list, [](char c) { return (c >= 32 && c < 127) || c == '\n' || c == '\r'; }));
        const auto cr = std::ranges::count(list, '\r'), lf = std::ranges::count(list, '\n');
        CHECK(lf > 20);
        CHECK(cr == (crlf ? lf : 0));
        CHECK(list.back() == '\n');
    }
}

TEST_CASE("EDL rule 2: title, FCM, then event 001") {
    const auto lines = hand_lines();
    CHECK(lines[0] == "TITLE: Strandtag");
    CHECK(lines[1] == "FCM: NON-DROP FRAME");
    CHECK(lines[2].starts_with("001  "));
}

TEST_CASE("EDL rule 3: the columns of an event") {
    const auto events = events_of(hand_lines());
    REQUIRE(events.size() == 8);
    for (const auto& event : events) {
        INFO(event);
        REQUIRE(event.size() == 76);
        for (const std::size_t blank :
             {4u, 5u, 14u, 19u, 20u, 25u, 26u, 27u, 28u, 29u, 41u, 53u, 65u}) // counted from 1
            CHECK(event[blank - 1] == ' ');
        CHECK(event.substr(20, 4) == "C   ");
        for (const std::size_t in : {30u, 42u, 54u, 66u}) {
            CHECK(event[in - 1] != ' ');
            CHECK(event[in + 1] == ':');
            CHECK(event[in + 9] != ' ');
        }
    }
    CHECK(events[0] == "001  C10001   V     C        10:00:01:13 10:00:03:03 01:00:00:00 01:00:01:15");
}

TEST_CASE("EDL rule 4: numbers run from 001; past 999 events the list is split, each part alone importable") {
    const auto cut = test::long_cut(1500, 10, Rate(25), Counting::non_drop, Frame{90000});
    const auto lists = edl(cut);
    REQUIRE(lists);
    REQUIRE(lists->size() == 3); // 1500 pictures and 500 sounds, and the song once a part
    std::string record_out;
    std::size_t pictures = 0;
    for (const auto& list : *lists) {
        const auto events = events_of(lines_of(list));
        CHECK(events.size() <= 999);
        std::string song_in, song_out;
        const std::string first_in = events[0].substr(53, 11);
        if (!record_out.empty()) CHECK(first_in == record_out);
        for (std::size_t i = 0; i < events.size(); ++i) {
            CHECK(std::stoul(events[i].substr(0, 3)) == i + 1);
            if (events[i].substr(14, 2) == "V ") {
                ++pictures;
                record_out = events[i].substr(65, 11);
            } else if (events[i].substr(14, 2) == "A ") {
                song_in = events[i].substr(53, 11);
                song_out = events[i].substr(65, 11);
            }
        }
        CHECK(song_in == first_in);
        CHECK(song_out == record_out);
    }
    CHECK(pictures == 1500);
    CHECK((*lists)[1].starts_with("TITLE: long PART 2 OF 3"));
    // 998 pictures and the song still fit one list, a natural sound more does not.
    auto just = test::long_cut(998, 10, Rate(25), Counting::non_drop, Frame{0});
    just.natural.clear();
    CHECK(edl(just)->size() == 1);
    just.natural.push_back({0, {{0}, {5}}, {{0}, {5}}, "T0", 0});
    CHECK(edl(just)->size() == 2);
}

TEST_CASE("EDL rule 4: each list of a split cut may begin at the start label") {
    const auto cut = test::long_cut(1500, 10, Rate(25), Counting::non_drop, Frame{90000});
    const auto lists = edl(cut, {.crlf = false, .parts_from_start = true});
    const auto running = edl(cut, {.crlf = false});
    REQUIRE(lists);
    REQUIRE(lists->size() == 3);
    CHECK((*lists)[0] == (*running)[0]);
    for (const auto& list : *lists) {
        const auto events = events_of(lines_of(list));
        CHECK(events[0].substr(53, 11) == "01:00:00:00");
    }
    const auto second = events_of(lines_of((*lists)[1])), as_before = events_of(lines_of((*running)[1]));
    REQUIRE(second.size() == as_before.size());
    for (std::size_t i = 0; i < second.size(); ++i)
        CHECK(second[i].substr(0, 52) == as_before[i].substr(0, 52)); // sources stay
}

TEST_CASE("EDL rules 5 and 8: reels stand as given, black is a BL event without a clip name") {
    const auto lines = hand_lines();
    const auto events = events_of(lines);
    CHECK(events[4].substr(5, 8) == "BL      ");
    CHECK(events[4].substr(29) == "00:00:00:00 00:00:00:10 01:00:04:20 01:00:05:05");
    CHECK(under(lines, 4, "*").empty());
}

TEST_CASE("EDL rules 6 and 8: picture on V, song on A, natural sound on A2, channel counts in comments") {
    const auto lines = hand_lines();
    const auto events = events_of(lines);
    std::multiset<std::string> channels;
    for (const auto& event : events)
        channels.insert(event.substr(14, 4));
    CHECK(channels.count("V   ") == 5);
    CHECK(channels.count("A   ") == 1);
    CHECK(channels.count("A2  ") == 2);
    CHECK(under(lines, 1, "* AUDIO CHANNELS") == "* AUDIO CHANNELS: 2");
    CHECK(under(lines, 2, "* NATURAL") == "* NATURAL SOUND OF T1#2040, FADE 2 FRAMES");
}

TEST_CASE(
    "EDL rule 7: in a drop-frame list every event has ';' before its frames, and no skipped label appears") {
    const Rate ntsc(30000, 1001);
    auto cut = test::long_cut(200, 45, ntsc, Counting::drop, Frame{107892 - 1800});
    cut.video[3].speed = Fraction(1, 4);
    cut.video[3].source.out = cut.video[3].source.in + Frame{11};
    cut.video[3].contacts = {{cut.video[3].record.in + Frame{2}, "pass"}};
    const auto lists = edl(cut, {.crlf = false});
    REQUIRE(lists);
    const auto lines = lines_of((*lists)[0]);
    CHECK(lines[1] == "FCM: DROP FRAME");
    for (const auto& event : events_of(lines))
        for (const std::size_t column : {38u, 50u, 62u, 74u}) {
            CHECK(event[column - 1] == ';');
            const auto label = event.substr(column - 9, 11);
            CHECK(from_timecode(label, ntsc, Counting::drop));
        }
    for (const auto& line : lines)
        if (!is_event(line)) CHECK(line.find(';') == std::string::npos);
}

TEST_CASE("EDL rule 9: without an M2 line source and record are equally long") {
    const auto lines = hand_lines();
    std::size_t checked = 0;
    for (std::size_t i = 0; i < lines.size(); ++i) {
        if (!is_event(lines[i]) || lines[i + 1].starts_with("M2")) continue;
        const auto at = [&](std::size_t column) {
            return from_timecode(lines[i].substr(column, 11), Rate(25), Counting::non_drop)->n;
        };
        const auto day = day_length(Rate(25), Counting::non_drop).n;
        CHECK((at(41) - at(29) + day) % day == at(65) - at(53));
        ++checked;
    }
    CHECK(checked == 7);
}

TEST_CASE("EDL rule 10: an M2 line follows its event directly, with its number, source in and colons") {
    const auto lines = hand_lines();
    const auto event = std::ranges::find_if(lines, [](const auto& l) { return l.starts_with("004  "); });
    REQUIRE(event != lines.end());
    CHECK(*event == "004  DNE3     V     C        00:00:00:20 00:00:01:15 01:00:01:15 01:00:04:20");
    CHECK(*(event + 1) == "M2   DNE3     006.2          00:00:00:20");

    Timeline drop = test::long_cut(1, 60, Rate(30000, 1001), Counting::drop, Frame{107892});
    drop.video[0].speed = Fraction(1, 4);
    const auto text = (*edl(drop))[0];
    CHECK(text.find("M2   C0       007.5          01:00:00:00\r\n") != std::string::npos);

    drop.video[0].speed = Fraction(1, 1000);
    const auto refused = edl(drop);
    REQUIRE_FALSE(refused);
    CHECK(refused.error().where == "EDL event 001");
    CHECK(write::m2_number(Fraction(1, 4), Rate(25)) == Approx(6.2));
}

TEST_CASE("EDL rule 11: the whole file name under every event that is not black, no path comments") {
    const auto lines = hand_lines();
    CHECK(under(lines, 0, "* FROM") == "* FROM CLIP NAME: C1_0001.mp4");
    CHECK(under(lines, 3, "* FROM") == "* FROM CLIP NAME: Dune #3.mp4");
    CHECK(std::ranges::count_if(lines, [](const auto& l) { return l.starts_with("* FROM CLIP NAME: "); }) ==
          7);
    CHECK(std::ranges::none_of(lines, [](const auto& l) { return l.find("/shoot") != std::string::npos; }));
}

TEST_CASE("EDL rule 12: markers carry record timecode with colons") {
    const auto lines = hand_lines();
    CHECK(under(lines, 0, "* LOC") == "* LOC: 01:00:00:12 RED     attack T1#2040");
    CHECK(under(lines, 1, "* LOC: 01:00:05") == "* LOC: 01:00:05:00 BLUE    section 2");
    const auto bare = (*edl(test::hand_cut(), {.markers = false}))[0];
    CHECK(bare.find("* LOC") == std::string::npos);
}

TEST_CASE("EDL rule 15: a clip that runs over midnight wraps") {
    const auto events = events_of(hand_lines());
    CHECK(events[5] == "006  N        V     C        23:59:58:10 00:00:02:10 01:00:05:05 01:00:09:05");
}

TEST_CASE("a record timecode that cannot be written is an error, not half a list") {
    auto cut = test::hand_cut();
    cut.start = Frame{2160000 - 100};
    const auto list = edl(cut);
    REQUIRE_FALSE(list);
    CHECK(list.error().where.starts_with("EDL event"));
}
