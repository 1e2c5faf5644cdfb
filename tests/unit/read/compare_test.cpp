// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/read/compare.h"
#include "downball/read/table.h"

using namespace downball;
using read::CutList;
using read::Difference;
using read::ListedEvent;

namespace {

ListedEvent event(std::size_t track, const std::string& file, std::int64_t record, std::int64_t length,
                  std::int64_t source) {
    ListedEvent its;
    its.track = track;
    its.file = file;
    its.reel = file.substr(0, file.find('.'));
    its.record = {{record}, {record + length}};
    its.source = {{source}, {source + length}};
    return its;
}

CutList cut() {
    CutList list;
    list.name = "evening";
    list.start = {90000};
    list.tracks = {{"V", true}, {"A", false}};
    list.events = {event(0, "a.mp4", 90000, 50, 100), event(0, "b.mp4", 90050, 50, 0),
                   event(1, "s.wav", 90000, 100, 0)};
    return list;
}

std::vector<Difference> between(const CutList& a, const CutList& b) {
    return read::compare(a, b).value();
}

} // namespace

TEST_CASE("a list does not differ from itself, nor from itself in other pieces") {
    CHECK(between(cut(), cut()).empty());
    CutList pieces = cut();
    pieces.events[0] = event(0, "a.mp4", 90000, 20, 100);
    pieces.events.push_back(event(0, "a.mp4", 90020, 30, 120));
    CHECK(between(cut(), pieces).empty());
    CHECK(between(pieces, cut()).empty());
}

TEST_CASE("a source that is a frame off is told with place and both pictures") {
    CutList other = cut();
    other.events[1] = event(0, "b.mp4", 90050, 50, 1);
    const auto found = between(cut(), other);
    REQUIRE(found.size() == 1);
    CHECK(found[0].track == "V");
    CHECK(found[0].record == FrameRange{{90050}, {90100}});
    CHECK(found[0].first == "b.mp4 00:00:00:00");
    CHECK(found[0].second == "b.mp4 00:00:00:01");
}

TEST_CASE("another file, black and nothing are differences; a shorter list ends in nothing") {
    CutList other = cut();
    other.events[0].file = "c.mp4";
    other.events[0].reel = "C";
    other.events[1].black = true;
    other.events.pop_back();
    const auto found = between(cut(), other);
    REQUIRE(found.size() == 3);
    CHECK(found[0].second == "c.mp4 00:00:04:00");
    CHECK(found[1].second == "black");
    CHECK(found[2].second == "nothing");
    CHECK(found[2].track == "A");
}

TEST_CASE("files are the same by reel or by name, unless one name is that of two reels") {
    CutList named = cut();
    for (ListedEvent& its : named.events)
        its.reel.clear();
    CHECK(between(cut(), named).empty());
    CutList reeled = cut();
    for (ListedEvent& its : reeled.events)
        its.file += "\xC3\xA4"; // in an EDL it is spelled otherwise
    CHECK(between(cut(), reeled).empty());
    for (ListedEvent& its : reeled.events)
        its.file = "other.mp4";
    CHECK(between(cut(), reeled).size() == 3);
    CutList twins = cut();
    twins.events[1].file = "a.mp4"; // of another folder
    CutList swapped = twins;
    std::swap(swapped.events[0].reel, swapped.events[1].reel);
    CHECK(between(twins, twins).empty());
    CHECK(between(twins, swapped).size() == 2);
}

TEST_CASE("the source frame shown is the one in whose time the middle of the record frame lies") {
    ListedEvent slow = event(0, "a.mp4", 0, 8, 100);
    slow.retimed = true;
    slow.speed = 0.25;
    std::vector<std::int64_t> frames;
    for (std::int64_t k = 0; k < 8; ++k)
        frames.push_back(read::shown(slow, {k}).n);
    CHECK(frames == std::vector<std::int64_t>{100, 100, 100, 100, 101, 101, 101, 101});
    ListedEvent back = event(0, "a.mp4", 0, 3, 100);
    back.speed = -1;
    CHECK(read::shown(back, {0}).n == 102);
    CHECK(read::shown(back, {2}).n == 100);
}

TEST_CASE("retimed shots are compared frame by frame") {
    CutList a = cut(), b = cut();
    for (CutList* list : {&a, &b}) {
        list->events[0].retimed = true;
        list->events[0].speed = 0.25;
    }
    b.events[0].speed = 0.2505;
    CHECK(between(a, b).empty()); // within 50 frames the two never part
    b.events[0].speed = 0.3;
    const auto found = between(a, b);
    REQUIRE_FALSE(found.empty());
    CHECK(found[0].record.in.n > 90000);
    for (const Difference& its : found)
        CHECK(its.record.out.n <= 90050);
}

TEST_CASE("source time that has run over midnight is the same wrapped and not") {
    CutList over = cut(), wrapped = cut();
    over.events[0].source = {{2160010}, {2160060}};
    wrapped.events[0].source = {{10}, {60}};
    CHECK(between(over, wrapped).empty());
}

TEST_CASE("backwards a clip is played from the end of what it uses, however long its range is written") {
    CutList edl = cut(), otio = cut();
    for (CutList* list : {&edl, &otio}) {
        list->events[0].retimed = true;
        list->events[0].speed = -0.5;
    }
    edl.events[0].source = {{100}, {125}};
    CHECK(between(edl, otio).empty());
    CHECK(read::shown(edl.events[0], {90000}).n == 124);
    CHECK(read::shown(edl.events[0], {90049}).n == 100);
}

TEST_CASE("a speed that an M2 line rounds makes no difference of a single source frame") {
    CutList edl = cut(), otio = cut();
    for (CutList* list : {&edl, &otio}) {
        list->events[0].retimed = true;
        list->events[0].source = {{0}, {23}};
    }
    edl.events[0].speed = 18.5 / 25;
    otio.events[0].speed = 23.0 / 31;
    CHECK_FALSE(between(edl, otio).empty());
    edl.events[0].speed_slack = 0.05 / 25;
    CHECK(between(edl, otio).empty());
    edl.events[0].source = {{2}, {25}};
    CHECK_FALSE(between(edl, otio).empty());
}

TEST_CASE("lists of two rates are not compared") {
    CutList other = cut();
    other.rate = Rate(30);
    CHECK_FALSE(read::compare(cut(), other));
    CutList film = cut(), ntsc = cut();
    film.rate = Rate(24);
    ntsc.rate = Rate(24000, 1001); // an EDL does not tell these apart
    CHECK(between(film, ntsc).empty());
}

TEST_CASE("a table has a row for each event, under its track") {
    const std::string text = read::table(cut());
    CHECK(text.find("evening: 25 frames a second, from 01:00:00:00 to 01:00:04:00") == 0);
    CHECK(text.find("V (picture), 2 events") != std::string::npos);
    CHECK(text.find("  01:00:02:00  01:00:04:00      50  b     b.mp4  00:00:00:00\n") != std::string::npos);
}
