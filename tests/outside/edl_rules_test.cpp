// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/hand_cut.h"
#include "support/written_lists.h"
#include "unit/timeline/small_day.h"

#include <map>
#include <set>

// Each rule for EDLs (DEVELOPERS.md) on cuts that make it hard to keep. All lists are read by tests/support/edl_reader.py
// as well, which shares no code with the writer and knows all the rules.

using namespace downball;
using namespace downball::test;

namespace {

const Rate ntsc(30000, 1001), ntsc_60(60000, 1001);

// Shots of one file, each at its speed, in a list of that rate.
struct Speeds : SmallDay {
    Speeds(Rate media, Rate list, Counting counting = Counting::non_drop) {
        log.media[0] = file("FAST0001.mov", 60, media);
        limits.delivery.rate = list;
        limits.delivery.counting = counting;
        limits.delivery.start = *from_timecode("01:00:00:00", list, counting);
        beats.beats.resize(3);
        song.duration_s = 300;
        song.audio->end_s = 300;
        log.takes[0].impacts.clear();
    }
    Timeline cut() const {
        const auto built = build();
        REQUIRE(built);
        return *built;
    }
};

std::int64_t count(const std::string& label, Rate rate, Counting counting = Counting::non_drop) {
    const auto frame = from_timecode(label, rate, counting);
    REQUIRE(frame);
    return frame->n;
}

std::int64_t between(const std::string& in, const std::string& out, Rate rate,
                     Counting counting = Counting::non_drop) {
    const auto day = day_length(rate, counting).n;
    return (count(out, rate, counting) - count(in, rate, counting) + day) % day;
}

const std::string odd_name = "N\xC3\xBC\xC3\x9F \"a\" 'b' 100% #1 \xE2\x80\x93 \xF0\x9F\x8F\x90.mp4";
const std::string odd_name_in_ascii = "Nuss \"a\" 'b' 100% #1 - _.mp4";

} // namespace

TEST_CASE("EDL rule 1: names with any letters, tabs and line breaks leave one line of printable ASCII each") {
    auto cut = hand_cut();
    cut.name = "Tag\t1\r\n" + odd_name;
    cut.media[0].name = odd_name;
    cut.media[1].name = "a\tb\nc\x7F\xC2\xAD\xFF.mp4";
    cut.video[0].contacts[0].name = "attack \xC3\xA9\n* LOC";
    cut.natural[0].shot = "\xEF\xBB\xBFT1\t";
    const auto lines = written_lists(cut).lines(), plain = written_lists(hand_cut()).lines();
    CHECK(lines.size() == plain.size());
    CHECK(lines[0] == "TITLE: Tag 1  " + odd_name_in_ascii);
    for (const auto& line : lines)
        CHECK(std::ranges::all_of(line, [](char c) { return c >= 32 && c < 127; }));
    CHECK(under(lines, 0, "* FROM") == "* FROM CLIP NAME: " + odd_name_in_ascii);
}

TEST_CASE("EDL rule 2: nothing stands between FCM and event 001, black and marked though it may be") {
    auto cut = hand_cut();
    cut.video[0].media.reset();
    cut.video[0].contacts.clear();
    cut.notes.assign(5, "a note");
    const auto lines = written_lists(cut).lines();
    CHECK(lines[0] == "TITLE: Strandtag");
    CHECK(lines[1] == "FCM: NON-DROP FRAME");
    CHECK(lines[2].starts_with("001  BL       V     C  "));
    CHECK(lines[3].starts_with("002  "));
    CHECK(written_lists(long_cut(3, 10, ntsc_60, Counting::drop, Frame{0})).lines()[1] == "FCM: DROP FRAME");
}

TEST_CASE(
    "EDL rule 3: every field keeps its columns, with reels of one and of eight letters, at every rate") {
    for (const Rate list :
         {Rate(24000, 1001), Rate(24), Rate(25), ntsc, Rate(30), Rate(48), Rate(50), ntsc_60, Rate(60)}) {
        auto cut = long_cut(60, 7, list, Counting::non_drop,
                            *from_timecode("23:58:00:00", list, Counting::non_drop));
        cut.media[0].reel = "A";
        cut.media[1].reel = "ABCDEFGH";
        cut.video[4].speed = Fraction(1, 7);
        cut.video[4].source.out = cut.video[4].source.in + Frame{1};
        std::size_t events = 0;
        for (const auto& line : written_lists(cut).lines()) {
            if (!is_event(line)) continue;
            INFO(line);
            ++events;
            REQUIRE(line.size() == 76);
            for (const std::size_t blank :
                 {4u, 5u, 14u, 19u, 20u, 22u, 23u, 24u, 25u, 26u, 27u, 28u, 29u, 41u, 53u, 65u})
                CHECK(line[blank - 1] == ' ');
            CHECK(line[21 - 1] == 'C');
        }
        CHECK(events == 81); // 60 pictures, 20 sounds, the song
    }
}

TEST_CASE(
    "EDL rule 4: 999 events are one list, one more makes two, in drop frame too, and no sound is lost") {
    for (const auto& [rate, counting] :
         {std::pair{Rate(25), Counting::non_drop}, {ntsc, Counting::drop}, {ntsc_60, Counting::drop}}) {
        auto cut = long_cut(998, 3, rate, counting, *from_timecode("00:58:58:00", rate, counting));
        cut.natural.clear();
        CHECK(written_lists(cut).edls.size() == 1);
        // One sound under all the pictures: it is divided where the list is, and goes on.
        cut = long_cut(2100, 3, rate, counting, cut.start);
        const Frame source = cut.natural[0].source.in;
        cut.natural = {{0, {{1}, cut.length}, {source, source + cut.length - Frame{1}}, "T0", 0}};
        for (const bool from_start : {false, true}) {
            const auto lists = written_lists(cut, {.parts_from_start = from_start});
            REQUIRE(lists.edls.size() == 3);
            for (std::size_t part = 0; part < 3; ++part) {
                const auto events = lists.events(part);
                CHECK(events.size() <= 999);
                for (std::size_t i = 0; i < events.size(); ++i)
                    CHECK(events[i].number == fmt::format("{:03}", i + 1));
                if (from_start) CHECK(events[0].record_in == *to_timecode(cut.start, rate, counting));
            }
            CHECK(lists.on("V").size() == 2100);
            std::string at = *to_timecode(source, rate, counting);
            std::int64_t heard = 0;
            for (const auto& sound : lists.on("A2")) {
                CHECK(sound.source_in == at);
                at = sound.source_out;
                heard += between(sound.record_in, sound.record_out, rate, counting);
            }
            CHECK(heard == 2100 * 3 - 1);
        }
    }
}

TEST_CASE("EDL rule 5: many files that ask for the same reel get one each, the same in both lists") {
    Speeds day(Rate(50), Rate(25));
    const std::vector<std::string> names{"A/C0001.MP4",
                                         "B/C0001.MP4",
                                         "C/c0001.mp4",
                                         "D/C-0001.mov",
                                         "BL.mov",
                                         "bl.mp4",
                                         "AX.mov",
                                         "\xC3\xA4\xC3\xB6.mp4",
                                         "\xF0\x9F\x8F\x90.mp4",
                                         "!.mp4",
                                         "LONGNAME00000001.mp4",
                                         "OTHERNAME00000001.mp4",
                                         ".mp4",
                                         "song.mov"};
    for (const auto& name : names) {
        auto& media = day.add_file(name.substr(name.find('/') + 1), 10, Rate(50));
        media.path = "cards/" + name;
        media.id = fmt::format("{:016x}", day.log.media.size() * 0x9E3779B97F4A7C15u);
        day.add_take("R" + name, day.log.media.size() - 1, Kind::cutaway);
        day.shot(day.log.takes.size() - 1, 5, 10);
    }
    day.log.takes[3].reel = "bl";
    day.log.takes[4].reel = "Card 1 of day 2";
    const auto lists = written_lists(day.cut());
    std::set<std::string> reels;
    const auto pictures = lists.on("V");
    REQUIRE(pictures.size() == names.size());
    for (std::size_t i = 0; i < pictures.size(); ++i) {
        const auto& reel = pictures[i].reel;
        INFO(names[i] << ": " << reel);
        CHECK(reels.insert(reel).second);
        CHECK((!reel.empty() && reel.size() <= 8 && reel != "BL" && reel != "AX"));
        CHECK(std::ranges::all_of(reel,
                                  [](char c) { return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9'); }));
        const auto& clip = children(lists.otio, 0)[i];
        CHECK(at(at(at(clip, "metadata"), "downball"), "reel").string() == reel);
    }
    CHECK(reels.contains("CARD1OFD"));
    CHECK_FALSE(reels.contains(lists.on("A").at(0).reel)); // song.wav and song.mov
}

TEST_CASE("EDL rule 6: only V, A and A2 with cuts, however many channels a file has") {
    auto cut = hand_cut();
    cut.media[0].audio_channels = 16;
    cut.media[3].audio_channels = 6;
    std::map<std::string, int> channels;
    const auto lists = written_lists(cut);
    for (const auto& event : lists.events()) {
        ++channels[event.channel];
        CHECK(event.transition == "C");
    }
    CHECK(channels == std::map<std::string, int>{{"V", 5}, {"A", 1}, {"A2", 2}});
    CHECK(under(lists.lines(), 2, "* AUDIO") == "* AUDIO CHANNELS: 16");
}

TEST_CASE("EDL rule 7: events that begin where drop frame skips have the published labels") {
    // SMPTE ST 12-1's counting, two numbers skipped at 30 and four at 60.
    struct Border {
        Rate rate;
        std::int64_t frame;
        const char* before;
        const char* label;
    };
    for (const auto& border :
         {Border{ntsc, 1800, "00:00:59;29", "00:01:00;02"}, Border{ntsc, 3598, "00:01:59;29", "00:02:00;02"},
          Border{ntsc, 17982, "00:09:59;29", "00:10:00;00"},
          Border{ntsc, 10790, "00:05:59;29", "00:06:00;02"},
          Border{ntsc, 107892, "00:59:59;29", "01:00:00;00"},
          Border{ntsc_60, 3600, "00:00:59;59", "00:01:00;04"},
          Border{ntsc_60, 35964, "00:09:59;59", "00:10:00;00"}}) {
        auto cut = long_cut(4, 1, border.rate, Counting::drop, Frame{border.frame - 2});
        cut.video[2].contacts = {{Frame{2}, "set"}};
        const auto lists = written_lists(cut);
        const auto pictures = lists.on("V");
        REQUIRE(pictures.size() == 4);
        CHECK(pictures[1].record_in == border.before);
        CHECK(pictures[2].record_in == border.label);
        CHECK(pictures[1].source_in == border.before);
        CHECK(pictures[1].source_out == border.label);
    }
    // The last frame of a day.
    const auto last = long_cut(1, 1, ntsc, Counting::drop, Frame{2589408 - 2});
    CHECK(written_lists(last).on("V")[0].record_out == "23:59:59;29");
}

TEST_CASE("EDL rule 8: picture tiles from the first frame to the last, sound stays inside it") {
    SmallDay day;
    day.options.j_cut_frames = day.options.l_cut_frames = 20;
    for (int i = 0; i < 4; ++i) {
        day.shot(0, 15, 40).anchors = {{0, static_cast<std::size_t>(i + 1), 0}};
        day.plan.shots.back().id += std::to_string(i);
    }
    const auto built = day.build();
    REQUIRE(built);
    auto cut = *built;
    cut.video[2].media.reset();
    const auto lists = written_lists(cut);
    const auto pictures = lists.on("V");
    for (std::size_t i = 1; i < pictures.size(); ++i)
        CHECK(pictures[i].record_in == pictures[i - 1].record_out);
    CHECK(pictures[2].reel == "BL");
    for (const auto& channel : {"A", "A2"}) {
        const auto sounds = lists.on(channel);
        REQUIRE_FALSE(sounds.empty());
        CHECK(sounds.front().record_in >= pictures.front().record_in);
        CHECK(sounds.back().record_out <= pictures.back().record_out);
        for (std::size_t i = 1; i < sounds.size(); ++i)
            CHECK(sounds[i].record_in >= sounds[i - 1].record_out);
    }
}

TEST_CASE("EDL rule 9: source and record are equally long, or an M2 line follows directly") {
    for (const Rate list : {Rate(24000, 1001), Rate(25), ntsc, ntsc_60}) {
        Speeds day(Rate(120), list);
        for (const auto speed : {Fraction(1), Fraction(1, 3), Fraction(999, 1000), Fraction(1001, 1000),
                                 Fraction(7, 5), Fraction(99, 100), Fraction(1)})
            for (const std::int64_t length : {1, 2, 50, 300})
                day.shot(0, length, 20, speed);
        const auto lines = written_lists(day.cut()).lines();
        std::size_t retimed = 0;
        for (std::size_t i = 0; i < lines.size(); ++i) {
            if (!is_event(lines[i])) continue;
            const auto event = fields_of(lines[i]);
            INFO(lines[i]);
            if (lines[i + 1].starts_with("M2 "))
                ++retimed;
            else
                CHECK(between(event.source_in, event.source_out, list) ==
                      between(event.record_in, event.record_out, list));
        }
        CHECK(retimed > 10);
    }
}

TEST_CASE("EDL rule 10: an M2 line says speed x list rate, and the source is as long as it uses") {
    for (const auto& [list, counting] : {std::pair{Rate(24000, 1001), Counting::non_drop},
                                         {Rate(25), Counting::non_drop},
                                         {ntsc, Counting::drop},
                                         {ntsc_60, Counting::drop}}) {
        Speeds day(Rate(120), list, counting);
        const std::vector<Fraction> speeds{Fraction(1, 100),  Fraction(1, 4),  Fraction(2, 3),
                                           Fraction(31, 125), Fraction(13, 7), Fraction(4)};
        for (const auto speed : speeds)
            day.shot(0, 77, 12, speed);
        const auto lists = written_lists(day.cut());
        const auto lines = lists.lines();
        const auto m2 = lists.speeds();
        const auto pictures = lists.on("V");
        REQUIRE(m2.size() == speeds.size());
        for (std::size_t i = 0; i < speeds.size(); ++i) {
            INFO(m2[i]);
            const double field = (speeds[i] * list.value()).to_double();
            CHECK(std::abs(std::stod(m2[i].substr(14, 5)) - field) <= 0.05 + 1e-9);
            CHECK(m2[i].substr(5, 8) == "FAST0001");
            CHECK(m2[i].find(';') == std::string::npos);
            auto source_in = pictures[i].source_in;
            source_in[8] = ':';
            CHECK(m2[i].substr(m2[i].size() - 11) == source_in);
            const auto used = between(pictures[i].source_in, pictures[i].source_out, list, counting);
            CHECK(std::abs(static_cast<double>(used) -
                           77 * std::stod(m2[i].substr(14, 5)) / list.per_second()) <= 0.5 + 1e-9);
            const auto at = std::ranges::find(lines, m2[i]);
            CHECK(is_event(*(at - 1)));
        }
    }
}

TEST_CASE("EDL rule 11: whole file names, however long, and no path") {
    auto cut = hand_cut();
    cut.media[0].name = std::string(180, 'x') + ".mp4";
    cut.media[0].path = "/shoot/a folder/" + cut.media[0].name;
    cut.media[1].name = odd_name;
    cut.media[2].name = "BL.mov";
    const auto lines = written_lists(cut).lines();
    CHECK(under(lines, 0, "* FROM") == "* FROM CLIP NAME: " + cut.media[0].name);
    CHECK(under(lines, 3, "* FROM") == "* FROM CLIP NAME: " + odd_name_in_ascii);
    CHECK(under(lines, 4, "*").empty()); // black
    CHECK(under(lines, 5, "* FROM") == "* FROM CLIP NAME: BL.mov");
    for (const auto& line : lines)
        CHECK(line.find("folder") == std::string::npos);
}

TEST_CASE("EDL rule 12: markers stand at record labels with colons, on first and last frames and past "
          "skipped numbers") {
    auto cut = long_cut(3, 10, ntsc, Counting::drop, Frame{1800 - 10});
    cut.video[0].contacts = {{Frame{0}, "first"}, {Frame{9}, "last \xC3\xB6"}};
    cut.video[1].contacts = {{Frame{10}, "after the minute"}};
    cut.sections = {{Frame{0}, "section 1"}, {Frame{29}, "section 2"}};
    std::vector<std::string> marks;
    for (const auto& line : written_lists(cut).lines())
        if (line.starts_with("* LOC")) marks.push_back(line);
    CHECK(marks == std::vector<std::string>{
                       "* LOC: 00:00:59:20 RED     first", "* LOC: 00:00:59:29 RED     last o",
                       "* LOC: 00:00:59:20 BLUE    section 1", "* LOC: 00:01:00:21 BLUE    section 2",
                       "* LOC: 00:01:00:02 RED     after the minute"});
}

TEST_CASE("EDL rule 13: source labels count in the list's rate, whatever the file's is") {
    for (const auto& media : {std::optional(Rate(120)), std::optional(Rate(50)),
                              std::optional(Rate(24000, 1001)), std::optional<Rate>()})
        for (const Rate list : {Rate(24), Rate(25), ntsc, Rate(50), ntsc_60}) {
            Speeds day(Rate(50), list);
            day.log.media[0] = SmallDay::file("A.mp4", 60, media);
            if (!media) day.log.media[0].frames.shown_s = {0, 1, 2};
            // Five seconds of labels into the file.
            day.shot(0, 7, 5 * ceil(list.value()));
            const auto picture = written_lists(day.cut()).on("V").at(0);
            CHECK(picture.source_in == "00:00:05:00");
            CHECK(picture.source_out == "00:00:05:07");
        }
}

TEST_CASE("EDL rule 14: every picture once of fast cameras, and files that already play slowly") {
    struct Once {
        Rate camera, list;
        const char* field;
    };
    for (const auto& once :
         {Once{Rate(120), ntsc, "007.5"}, Once{Rate(120000, 1001), ntsc, "007.5"},
          Once{Rate(120), Rate(24000, 1001), "004.8"}, Once{Rate(120000, 1001), Rate(24000, 1001), "004.8"},
          Once{Rate(100), Rate(25), "006.2"}, Once{Rate(120), Rate(25), "005.2"},
          Once{Rate(50), Rate(25), "012.5"}, Once{Rate(240), Rate(30), "003.7"}}) {
        // A camera's pictures a second, one a frame of the list, use list rate / camera rate of the list's frames.
        Speeds day(once.camera, once.list);
        day.shot(0, 40, 30, once.list.value() / once.camera.value());
        INFO(to_string(once.camera) << " in " << to_string(once.list));
        // 100 in 25 is 6.25, 240 in 30 is 3.75: a tie goes down, which never asks for more than there is.
        CHECK(written_lists(day.cut()).speeds().at(0).substr(14, 5) == once.field);
    }
    Speeds slow(Rate(25), Rate(25));
    slow.log.takes[0].capture_fps = 100;
    slow.add_impact(0, 1.04, 1);
    slow.shot(0, 40, 15).anchors = {{0, 1, 0}};
    const auto cut = slow.cut();
    const auto lists = written_lists(cut);
    CHECK(lists.speeds().empty());
    CHECK(lists.on("A2").empty());
    CHECK(any_note(cut, "no natural sound"));
}

TEST_CASE(
    "EDL rule 15: source labels begin at the file's label, converted by its frames, and run over midnight") {
    struct Labelled {
        const char* label;
        Rate rate;
        Counting counting;
        Rate list;
        const char* source_in; // of the list frame ten after the label
    };
    const auto plain = Counting::non_drop;
    for (const auto& file :
         {Labelled{"10:00:00:21", Rate(50), plain, Rate(25), "10:00:00:20"},  // 10.5 frames: from 10
          Labelled{"01:00:00;00", ntsc, Counting::drop, ntsc, "00:59:56:22"}, // its frame 107892
          Labelled{"23:59:59:20", Rate(25), plain, Rate(25), "00:00:00:05"},
          Labelled{"00:00:00:00", Rate(25), plain, ntsc, "00:00:00:10"}}) {
        Speeds day(file.rate, file.list);
        day.log.media[0].start = StartTimecode{
            file.label, *from_timecode(file.label, file.rate, file.counting), file.rate, file.counting};
        day.shot(0, 8, 10);
        INFO(file.label);
        CHECK(written_lists(day.cut()).on("V").at(0).source_in == file.source_in);
    }
    // A label of three frame digits, as cameras of 120 pictures a second write: frame 119 of 120 is 24.79 of 25.
    Speeds fast(Rate(120), Rate(25));
    fast.log.media[0].start = StartTimecode{"09:59:59:119", Frame{35999 * 120 + 119}, Rate(120), plain};
    fast.shot(0, 30, 1);
    const auto over = written_lists(fast.cut()).on("V").at(0);
    CHECK(over.source_in == "10:00:00:00");
    CHECK(over.source_out == "10:00:01:05");
    Speeds night(Rate(25), Rate(25));
    night.log.media[0].start = StartTimecode{"23:59:59:20", Frame{2160000 - 5}, Rate(25), plain};
    night.shot(0, 8, 0);
    const auto midnight = written_lists(night.cut()).on("V").at(0);
    CHECK(midnight.source_in == "23:59:59:20");
    CHECK(midnight.source_out == "00:00:00:03");
}
