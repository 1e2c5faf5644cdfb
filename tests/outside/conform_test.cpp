// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/counted_cut.h"

// Lists over real files, followed by readers that share no code with us and shown by ffmpeg: conform_matrix.py checks
// every rule, lays both lists out frame by frame, reads the number in each picture that ffmpeg decodes, of the
// footage and of the preview, and holds all against what the plan means.

using namespace downball;
using namespace downball::test;

namespace {

struct Clock {
    const char* name;
    Rate rate;
    Counting counting = Counting::non_drop;
};

// All clocks that a list may have.
const std::array clocks{Clock{"23976", Rate(24000, 1001)},
                        Clock{"24", Rate(24)},
                        Clock{"25", Rate(25)},
                        Clock{"2997", Rate(30000, 1001)},
                        Clock{"2997df", Rate(30000, 1001), Counting::drop},
                        Clock{"30", Rate(30)},
                        Clock{"48", Rate(48)},
                        Clock{"50", Rate(50)},
                        Clock{"5994", Rate(60000, 1001)},
                        Clock{"5994df", Rate(60000, 1001), Counting::drop},
                        Clock{"60", Rate(60)}};

Frame label(const Clock& clock, const std::string& text) {
    return *from_timecode(text, clock.rate, clock.counting);
}

// Every clip in real time, then speeds that lists find hard; record time runs over the 59th minute.
CountedCut by_hand(const Clock& clock) {
    CountedCut cut(fmt::format("hand{}", clock.name), clock.rate, clock.counting,
                   label(clock, "00:58:55:00"));
    const auto& footage = CountedFootage::get();
    for (std::size_t media = 0; media < footage.media.size(); ++media)
        cut.shot(media, 18 + std::ssize(cut.plan.shots) % 7, cut.count(media).nearest(0.8).n - 5, Fraction(1),
                 5);
    const auto from = [&](std::size_t media) { return cut.count(media).nearest(1.4).n; };
    // Every picture once, an odd speed, and ones that are long enough for the rounded speed to tell.
    const auto once = [&](const char* name, std::int64_t length, Fraction at) {
        cut.shot(footage.find(name), length, from(footage.find(name)), clock.rate.value() / at, 5);
    };
    once("c120.mov", 100, Fraction(120));
    once("c100.mp4", 90, Fraction(100));
    once("c11988.mov", 100, Rate(120000, 1001).value());
    once("night120.mp4", 80, Fraction(120));
    once("slow.mov", 30, Fraction(25));
    cut.shot(footage.find("c50.mp4"), 40, from(footage.find("c50.mp4")), Fraction(1, 3), 5);
    cut.shot(footage.find("df.mov"), 30, from(footage.find("df.mov")), Fraction(4, 5), 5);
    cut.shot(footage.find("c25.mp4"), 30, from(footage.find("c25.mp4")), Fraction(3, 2), 5);
    cut.rally(footage.find("c5994.mp4"), from(footage.find("c5994.mp4")), {{6, 6}, {9, 7}, {8, 10}, {6, 6}});
    cut.rally(footage.find("phone.mp4"), from(footage.find("phone.mp4")), {{5, 5}, {11, 13}, {7, 7}});
    return cut;
}

// Every clip once and then any, by dice.
CountedCut by_dice(const Clock& clock, std::string name, std::uint64_t seed) {
    CountedCut cut(std::move(name), clock.rate, clock.counting, Frame{0});
    Dice dice(seed);
    const auto files = static_cast<int>(cut.log.media.size());
    for (int media = 0; media < files; ++media)
        random_shot(cut, static_cast<std::size_t>(media), dice);
    for (int more = 0; more < 20; ++more) {
        const int media = dice.whole(0, files - 1);
        random_shot(cut, static_cast<std::size_t>(media), dice);
    }
    // Anywhere in the day, but half of them run up to its last frame.
    const Frame last = day_length(clock.rate, clock.counting) - cut.plan.length - Frame{1};
    const bool to_midnight = dice.chance(0.5);
    cut.limits.delivery.start =
        to_midnight ? last : Frame{static_cast<std::int64_t>(dice.unit() * static_cast<double>(last.n))};
    return cut;
}

std::size_t save(const CountedCut& cut) {
    return save_cut(cut, cut.timeline());
}

// By hand and by dice at every clock; DOWNBALL_PLANS=30 in the environment rolls more of them. Their names.
std::vector<std::string> save_matrix() {
    const char* more = std::getenv("DOWNBALL_PLANS");
    const std::uint64_t plans = more ? std::strtoul(more, nullptr, 10) : 2;
    std::uint64_t seed = 0;
    std::vector<std::string> names;
    const auto keep = [&](const CountedCut& cut) {
        CHECK(save(cut) == 1);
        names.push_back(cut.name);
    };
    for (const Clock& clock : clocks) {
        keep(by_hand(clock));
        for (std::uint64_t n = 0; n < plans; ++n)
            keep(by_dice(clock, fmt::format("dice{}.{}", clock.name, n), ++seed));
    }
    return names;
}

// 1100 pictures, natural sounds, and the song in each of three parts.
std::vector<std::string> save_split() {
    std::vector<std::string> names;
    for (const Clock& clock : {clocks[2], clocks[4], clocks[9]}) {
        CountedCut cut(fmt::format("split{}", clock.name), clock.rate, clock.counting,
                       label(clock, "00:58:20:00"));
        const std::size_t files = cut.log.media.size();
        for (std::size_t i = 0; i < 1100; ++i) {
            const std::size_t media = i % files;
            cut.shot(media, 2, cut.count(media).nearest(i % 2 ? 0.8 : 2).n, Fraction(1), 1);
        }
        CHECK(save(cut) == 3);
        names.push_back(cut.name);
    }
    return names;
}

// Two shots of which the lists are then spoilt.
CountedCut two_shots(const std::string& name) {
    const auto& footage = CountedFootage::get();
    CountedCut cut(name, Rate(25), Counting::non_drop, Frame{90000});
    cut.shot(footage.find("c25.mp4"), 25, 15, Fraction(1), 5);
    cut.shot(footage.find("c100.mp4"), 25, 18, Fraction(1, 5), 5);
    return cut;
}

Timeline moved(Timeline timeline, std::size_t event, std::int64_t frames) {
    timeline.video[event].source.in += Frame{frames};
    timeline.video[event].source.out += Frame{frames};
    return timeline;
}

} // namespace

TEST_CASE(
    "EDL, OTIO, movie and plan show one picture in each record frame, at every list rate, of every kind of "
    "footage") {
    CHECK(conform(save_matrix()));
}

TEST_CASE("a list that had to be split still conforms, whether its parts run on or begin anew") {
    CHECK(conform(save_split()));
}

// For smpte_timecode_test.py, with DOWNBALL_LISTS.
TEST_CASE("lists of all kinds of footage are written", "[.lists]") {
    CHECK_FALSE(save_matrix().empty());
    CHECK_FALSE(save_split().empty());
}

TEST_CASE("an OTIO that is wrong by one frame does not pass") {
    const auto cut = two_shots("otio_late");
    save_cut(cut, cut.timeline());
    REQUIRE(conform({cut.name}));
    const auto folder = CountedFootage::get().lists_of(cut.name);
    save_text(folder + "/cut.otio",
              *write::otio(moved(cut.timeline(), 1, 1),
                           {.folder = folder, .absolute_urls = false, .media_root = {}}));
    CHECK(run_python("otio_reader.py " + folder + "/cut.otio")); // a good list, but of another cut
    CHECK_FALSE(conform({cut.name}));
}

TEST_CASE("a movie that is late or early by one frame, in one shot, does not pass") {
    const auto cut = two_shots("movie_late");
    save_cut(cut, cut.timeline());
    REQUIRE(conform({cut.name}));
    for (const int frames : {1, -1}) {
        save_movie(cut, moved(cut.timeline(), 1, frames));
        CHECK_FALSE(conform({cut.name}));
    }
    save_movie(cut, cut.timeline());
    CHECK(conform({cut.name}));
}

TEST_CASE("a finished movie whose pictures ffmpeg delays by one frame does not pass") {
    const auto cut = two_shots("movie_delayed");
    save_cut(cut, cut.timeline());
    REQUIRE(conform({cut.name}));
    const auto movie = CountedFootage::get().lists_of(cut.name) + "/movie.mp4",
               right = CountedFootage::get().lists_of(cut.name) + "/right.mp4";
    std::filesystem::rename(movie, right);
    const auto coded_again = [&](const std::string& filters) {
        return run("ffmpeg -nostdin -v error -y -i '" + right + "' -c:a copy -vf " + filters + " '" + movie +
                   "'");
    };
    REQUIRE(coded_again("null"));
    CHECK(conform({cut.name}));
    REQUIRE(coded_again("tpad=start=1:start_mode=clone,trim=end_frame=50"));
    CHECK_FALSE(conform({cut.name}));
}

TEST_CASE("lists that agree, but are both wrong by one frame, do not pass") {
    const auto cut = two_shots("both_late");
    save_cut(cut, moved(cut.timeline(), 0, 1));
    CHECK_FALSE(conform({cut.name}));
}

TEST_CASE("lists that take a shot from another clip, or by a whole clip too late, do not pass") {
    const auto cut = two_shots("other_clip");
    auto timeline = cut.timeline();
    const auto media = *timeline.video[0].media;
    // The same second of another file.
    timeline.video[0].media = timeline.video[1].media;
    timeline.video[0].source.in +=
        timeline.media[*timeline.video[1].media].first - timeline.media[media].first;
    timeline.video[0].source.out = timeline.video[0].source.in + Frame{25};
    save_cut(cut, timeline);
    CHECK_FALSE(conform({cut.name}));
    save_cut(cut, moved(cut.timeline(), 0, 100));
    CHECK_FALSE(conform({cut.name}));
}
