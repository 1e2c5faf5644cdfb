// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// What the rules ask for is gathered from published descriptions of the CMX3600 form and from open readers.
#include "support/catch.h"
#include "support/dice.h"

#include "downball/read/cut_list.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <fmt/format.h>
#include <fstream>
#include <iterator>

using namespace downball;

namespace {

std::string golden(const std::string& name) {
    std::ifstream file(std::string(DOWNBALL_SOURCE_DIR) + "/tests/golden/" + name, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

// Two shots, one of them in slow motion, black between, the song and a natural sound.
const std::string plain = "TITLE: evening\n"
                          "FCM: NON-DROP FRAME\n"
                          "001  A001     V     C        00:00:01:00 00:00:02:00 01:00:00:00 01:00:01:00\n"
                          "* FROM CLIP NAME: a1.mp4\n"
                          "* LOC: 01:00:00:12 RED     serve T1#1480\n"
                          "002  SONG     A     C        00:00:00:00 00:00:04:00 01:00:00:00 01:00:04:00\n"
                          "* FROM CLIP NAME: song.wav\n"
                          "003  A001     A2    C        00:00:01:00 00:00:02:00 01:00:00:00 01:00:01:00\n"
                          "* FROM CLIP NAME: a1.mp4\n"
                          "* NATURAL SOUND OF T1#1480, FADE 2 FRAMES\n"
                          "004  BL       V     C        00:00:00:00 00:00:01:00 01:00:01:00 01:00:02:00\n"
                          "005  HS01     V     C        00:00:05:00 00:00:05:12 01:00:02:00 01:00:04:00\n"
                          "M2   HS01     006.2          00:00:05:00\n"
                          "* FROM CLIP NAME: fast.mp4\n";

// Source and record are equally long at 25 frames a second alone.
const std::string only_at_25 =
    "TITLE: evening\nFCM: NON-DROP FRAME\n"
    "001  A001     V     C        00:00:01:20 00:00:02:20 01:00:00:00 01:00:01:00\n"
    "* FROM CLIP NAME: a1.mp4\n"
    "002  A001     V     C        00:00:05:00 00:00:06:00 01:00:01:00 01:00:02:00\n"
    "* FROM CLIP NAME: a1.mp4\n"
    "003  A001     V     C        00:00:08:24 00:00:10:10 01:00:02:00 01:00:03:11\n"
    "* FROM CLIP NAME: a1.mp4\n";

std::string with(std::string_view old, std::string_view fresh, std::string text = plain) {
    const auto at = text.find(old);
    REQUIRE(at != std::string::npos);
    return text.replace(at, old.size(), fresh);
}

read::CutList list(const std::string& text, std::optional<Rate> rate = Rate(25)) {
    auto its = read::edl(text, "evening.edl", rate);
    if (!its) FAIL(to_string(its.error()));
    return *its;
}

std::vector<int> broken(const std::string& text, std::optional<Rate> rate = Rate(25)) {
    std::vector<int> rules;
    for (const auto& breach : list(text, rate).breaches)
        rules.push_back(breach.rule);
    std::ranges::sort(rules);
    rules.erase(std::unique(rules.begin(), rules.end()), rules.end());
    return rules;
}

using Rules = std::vector<int>;

} // namespace

TEST_CASE("a list is read as it says") {
    const auto its = list(plain);
    CHECK(its.breaches.empty());
    CHECK(its.passed_over.empty());
    CHECK(its.name == "evening");
    CHECK(its.start.n == 90000);
    REQUIRE(its.tracks.size() == 3);
    CHECK(its.tracks[0].name == "V");
    CHECK(its.tracks[0].picture);
    CHECK_FALSE(its.tracks[1].picture);
    REQUIRE(its.events.size() == 5);
    CHECK(its.events[0].reel == "A001");
    CHECK(its.events[0].file == "a1.mp4");
    CHECK(its.events[0].source == FrameRange{{25}, {50}});
    CHECK(its.events[0].record == FrameRange{{90000}, {90025}});
    REQUIRE(its.events[0].marks.size() == 1);
    CHECK(its.events[0].marks[0].at.n == 90012);
    CHECK(its.events[0].marks[0].text == "serve T1#1480");
    CHECK(its.events[2].shot == "T1#1480");
    CHECK(its.events[3].black);
    CHECK(its.events[4].retimed);
    CHECK(std::abs(its.events[4].speed - 6.2 / 25) < 1e-12);
    CHECK(its.events[4].place == "line 12");
}

TEST_CASE("the golden lists keep all rules") {
    for (const auto* name : {"strandtag.edl", "drop_frame.edl"})
        for (const auto& breach : list(golden(name), std::nullopt).breaches)
            FAIL_CHECK(name << ": " << breach.place << ": " << breach.what);
}

TEST_CASE("EDL rule 1: a reader names a byte-order mark, tabs, other bytes, and line ends of two kinds") {
    CHECK(broken("\xEF\xBB\xBF" + plain) == Rules{1});
    CHECK(broken(with("serve T1#1480", "serve\tT1#1480")) == Rules{1});
    CHECK(broken(with("evening", "\xC3\xA4")) == Rules{1});
    CHECK(broken(with("evening\n", "evening\r\n")) == Rules{1});
    CHECK(broken(plain.substr(0, plain.size() - 1)) == Rules{1});
    std::string crlf, cr = plain;
    for (const char c : plain)
        crlf += c == '\n' ? "\r\n" : std::string(1, c);
    CHECK(broken(crlf).empty());
    std::ranges::replace(cr, '\n', '\r');
    CHECK(broken(cr) == Rules{1});
    CHECK(list(cr).events.size() == 5);
}

TEST_CASE("EDL rule 2: a reader asks for title, FCM, then events") {
    CHECK(broken(with("TITLE: evening\n", "")) == Rules{2});
    CHECK(broken(with("FCM: NON-DROP FRAME\n", "")) == Rules{2});
    CHECK(broken(with("NON-DROP FRAME\n", "NON-DROP FRAME\n* made by hand\n")) == Rules{2});
    CHECK(broken(with("NON-DROP FRAME\n", "NO DROP\n")) == Rules{2});
    CHECK(broken(with("* FROM CLIP NAME: song.wav\n", "* FROM CLIP NAME: song.wav\nSPLIT\n")) == Rules{2});
}

TEST_CASE("EDL rule 3: a reader wants every field in its column") {
    CHECK(broken(with("A001     V     C   ", "A001    V      C   ")) == Rules{3});
    CHECK(broken(with("001  A001     V     C    ", "001  A001     V     C 010")) == Rules{3});
    const auto its = list(with("00:00:01:00 00:00:02:00 01:00:00:00 01:00:01:00", "00:00:01:00 01:00:00:00"));
    CHECK(std::ranges::any_of(its.breaches, [](auto& b) { return b.rule == 3 && b.place == "line 3"; }));
}

TEST_CASE("EDL rule 4: a reader counts the events") {
    CHECK(broken(with("002  SONG", "003  SONG")) == Rules{4});
    std::string many = "TITLE: many\nFCM: NON-DROP FRAME\n";
    const auto label = [](int second) { return fmt::format("00:{:02}:{:02}:00", second / 60, second % 60); };
    for (int n = 0; n < 1000; ++n)
        many += fmt::format("{:03}  BL       V     C        {} {} {} {}\n", (n + 1) % 1000, label(n),
                            label(n + 1), label(n), label(n + 1));
    CHECK(broken(many) == Rules{4});
}

TEST_CASE("EDL rule 5: a reader refuses reels of other letters, and one reel for two files") {
    CHECK(broken(with("001  A001 ", "001  a001 ")) == Rules{5});
    CHECK(broken(with("NAME: a1.mp4\n* NATURAL", "NAME: b1.mp4\n* NATURAL")) == Rules{5});
}

TEST_CASE("EDL rule 6: a reader knows the channels and transitions of the form") {
    CHECK(broken(with("A2    C ", "A9    C ")) == Rules{6});
    CHECK(broken(with("V     C  ", "V     X  ")) == Rules{6});
    const auto dissolve = list(with("V     C        00:00:05", "V     D    010 00:00:05"));
    CHECK(dissolve.breaches.empty());
    CHECK(dissolve.passed_over.size() == 1);
}

TEST_CASE("EDL rule 4: a transition and the cut it comes from share a number") {
    const std::string dissolve =
        "TITLE: dissolve\nFCM: NON-DROP FRAME\n"
        "001  A001     V     C        00:00:01:00 00:00:02:00 01:00:00:00 01:00:01:00\n"
        "* FROM CLIP NAME: a1.mp4\n"
        "002  A001     V     C        00:00:02:00 00:00:02:00 01:00:01:00 01:00:01:00\n"
        "002  B001     V     D    024 00:00:05:00 00:00:07:00 01:00:01:00 01:00:03:00\n"
        "* FROM CLIP NAME: b1.mp4\n"
        "003  A001     V     C        00:00:04:00 00:00:05:00 01:00:03:00 01:00:04:00\n"
        "* FROM CLIP NAME: a1.mp4\n";
    const auto its = list(dissolve);
    CHECK(its.breaches.empty());
    CHECK(its.events.size() == 3);
    CHECK(its.passed_over.size() == 1);
    CHECK(broken(with("003  A001", "002  A001", dissolve)) == Rules{4});
}

TEST_CASE("EDL rule 8: picture is one track, whatever sound its channel has too") {
    const auto its = list(with("BL       V   ", "BL       AA/V", with("HS01     V ", "HS01     B ")));
    CHECK(its.breaches.empty());
    CHECK(its.tracks.size() == 3);
    CHECK(its.passed_over.size() == 2);
}

TEST_CASE("EDL rule 7: a reader refuses labels that are none") {
    CHECK(broken(with("01:00:00:00 01:00:01:00\n* FROM CLIP NAME: a1.mp4\n* LOC",
                      "30:61:99:99 01:00:01:00\n"
                      "* FROM CLIP NAME: a1.mp4\n* LOC"))
              .front() == 7);
    const std::string drop = with("NON-DROP", "DROP");
    CHECK(broken(drop, Rate(30000, 1001)) == Rules{7});
    const std::string skipped =
        "TITLE: skipped\nFCM: DROP FRAME\n"
        "001  BL       V     C        00:01:00;02 00:01:00;12 00:01:00;00 00:01:00;12\n";
    const auto its = list(skipped, std::nullopt);
    REQUIRE(its.breaches.size() >= 1);
    CHECK(its.breaches[0].rule == 7);
    CHECK(its.events.empty());
}

TEST_CASE("EDL rule 8: a reader finds gaps and overlaps") {
    CHECK(broken(with("00:00:00:00 00:00:01:00 01:00:01:00 01:00:02:00",
                      "00:00:00:00 00:00:00:20 01:00:01:05 01:00:02:00")) == Rules{8});
    CHECK(broken(with("00:00:00:00 00:00:01:00 01:00:01:00 01:00:02:00",
                      "00:00:00:00 00:00:01:05 01:00:00:20 01:00:02:00")) == Rules{8});
    CHECK(broken(with("00:00:04:00 01:00:00:00 01:00:04:00", "00:00:05:00 01:00:00:00 01:00:05:00")) ==
          Rules{8});
    CHECK(broken(with("01:00:00:00 01:00:01:00\n* FROM CLIP NAME: a1.mp4\n* NATURAL",
                      "01:00:01:00 01:00:01:00\n* FROM CLIP NAME: a1.mp4\n* NATURAL")) == Rules{8});
}

TEST_CASE("EDL rule 9: a reader asks for an M2 line where source and record differ") {
    CHECK(broken(with("M2   HS01     006.2          00:00:05:00\n", "")) == Rules{9});
    CHECK(broken(with("M2   HS01     006.2          00:00:05:00\n* FROM CLIP NAME: fast.mp4\n",
                      "* FROM CLIP NAME: fast.mp4\nM2   HS01     006.2          00:00:05:00\n")) == Rules{9});
}

TEST_CASE("EDL rule 10: a reader holds the M2 line against its event") {
    CHECK(broken(with("006.2", "012.5")) == Rules{10});
    CHECK(broken(with("006.2", "6.2  ")) == Rules{9, 10});
    CHECK(broken(with("M2   HS01", "M2   HS02")) == Rules{10});
    CHECK(broken(with("006.2          00:00:05:00", "006.2          00:00:05:01")) == Rules{10});
    const auto back = list(with("006.2", "-006.2"));
    CHECK(back.events[4].speed < 0);
}

TEST_CASE("EDL rule 11: a reader misses a file's name") {
    CHECK(broken(with("* FROM CLIP NAME: fast.mp4\n", "")) == Rules{11});
    CHECK(broken(with("NAME: fast.mp4", "NAME: day/fast.mp4")) == Rules{11});
    CHECK(broken(with("NAME: fast.mp4", "NAME:fast.mp4")) == Rules{11});
    CHECK(list(with("NAME: fast.mp4", "NAME:fast.mp4")).events[4].file == "fast.mp4");
    CHECK(broken(plain + "* FROM CLIP NAME: other.mp4\n").back() == 11);
}

TEST_CASE("EDL rule 12: a reader wants markers inside their event and in known colours") {
    CHECK(broken(with("LOC: 01:00:00:12 RED ", "LOC: 01:00:03:12 RED ")) == Rules{12});
    CHECK(broken(with("01:00:00:12 RED     serve", "01:00:00:12 MAUVE   serve")) == Rules{12});
    CHECK(broken(with("LOC: 01:00:00:12 RED     serve T1#1480", "LOC: 01:00:00:12")) == Rules{12});
}

TEST_CASE("EDL rule 13: source timecode counts in the list's rate, which the labels alone do not tell") {
    CHECK(list(plain, std::nullopt).rate == Rate(24)); // 12 is the highest frame number
    CHECK(list(with("00:00:05:12", "00:00:05:24"), std::nullopt).rate == Rate(25));
    CHECK(list(golden("drop_frame.edl"), std::nullopt).rate == Rate(30000, 1001));
    // One label that is none does not change it.
    CHECK(list(with("01:00:01:00 01:00:02:00", "01:00:01:00 01:00:59:99", only_at_25), std::nullopt).rate ==
          Rate(25));
    CHECK_FALSE(read::edl(plain, "evening.edl", Rate(100)));
    CHECK_FALSE(read::edl(golden("drop_frame.edl"), "drop.edl", Rate(25)));
}

TEST_CASE("EDL rule 14: every frame once of 120 frames a second in 29.97 is 007.5") {
    const auto its = list(golden("drop_frame.edl"), std::nullopt);
    const auto slow = std::ranges::find_if(its.events, &read::ListedEvent::retimed);
    REQUIRE(slow != its.events.end());
    CHECK(std::abs(slow->speed - 0.25025) < 1e-9);
}

TEST_CASE("EDL rule 15: a source that runs over midnight is no breach") {
    CHECK(broken(with("00:00:01:00 00:00:02:00 01:00:00:00 01:00:01:00\n* FROM CLIP NAME: a1.mp4\n* LOC",
                      "23:59:59:20 00:00:00:20 01:00:00:00 01:00:01:00\n* FROM CLIP NAME: a1.mp4\n* LOC"))
              .empty());
}

TEST_CASE("what is no list is refused with its place") {
    for (const std::string& text :
         {std::string(), std::string("TITLE: x\nFCM: NON-DROP FRAME\n001 the opener\n"),
          std::string("\n\n\n"), std::string("a letter\nto somebody\n"), std::string("T\0I\0T\0L\0E\0", 10),
          std::string("{\"OTIO_SCHEMA\": 1}")}) {
        const auto its = read::edl(text, "evening.edl");
        REQUIRE_FALSE(its);
        CHECK(its.error().fault == Fault::bad_input);
        CHECK(its.error().where.starts_with("evening.edl"));
    }
    const auto long_one = read::edl(std::string(1'100'000, '\n'), "evening.edl");
    REQUIRE_FALSE(long_one);
    CHECK(long_one.error().where == "evening.edl:1000001");
}

TEST_CASE("a list spoilt at random is read or refused, never more") {
    test::Dice dice(11);
    const auto below = [&](std::size_t n) { return static_cast<std::size_t>(dice.next() % n); };
    const std::string whole = golden("strandtag.edl");
    const std::string bytes = "0123456789:; \t\r\n*M2VAC.-;\xC3\xFF";
    for (int n = 0; n < 4000; ++n) {
        std::string text = whole;
        for (std::size_t k = 0, many = 1 + below(6); k < many; ++k) {
            const std::size_t at = below(text.size());
            if (below(4) == 0)
                text.erase(at, 1 + below(30));
            else
                text[at] = bytes[below(bytes.size())];
            if (text.empty()) break;
        }
        const auto its = read::edl(text, "spoilt.edl");
        if (!its) continue;
        for (const auto& event : its->events)
            CHECK(event.track < its->tracks.size());
    }
}
