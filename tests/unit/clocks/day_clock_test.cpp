// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/camera_day.h"
#include "support/catch.h"

#include "downball/clocks/day_clock.h"

#include <set>

using namespace downball;
using namespace downball::clocks;
using test::film_day;

namespace {

// Furthest any recording of the camera is placed from where it was.
double worst_s(const test::FilmedDay& day, const DayClock& clock, const std::string& camera) {
    double worst = 0;
    for (std::size_t i = 0; i < day.recordings.size(); ++i)
        if (day.recordings[i].camera == camera)
            worst = std::max(worst, std::abs(*day_seconds(clock, day.recordings[i]) - day.began_s[i]));
    return worst;
}

} // namespace

TEST_CASE("clocks that are apart by seconds, an hour or a day are brought together by rallies both heard") {
    for (const double offset_s : {-86400.0, -37.25, 0.0, 3601.5, 2e8})
        for (const double step_s : {1.0, 0.04}) {
            const auto day = film_day(7, 60,
                                      {{.name = "A", .share = 0.9, .step_s = step_s},
                                       {.name = "B", .offset_s = offset_s, .step_s = step_s}});
            const auto clock = set_day_clock(day.recordings, {});
            INFO(offset_s << " s, read to " << step_s << " s");
            REQUIRE(clock.cameras.contains("B"));
            const Offset& b = clock.cameras.at("B");
            CHECK(b.against == "A");
            CHECK(b.confidence > 0.95);
            CHECK(std::abs(b.offset_s - offset_s) < step_s / 2 + 0.1);
            // Each is off by half a step at most by its own clock, and as much by the fit.
            CHECK(worst_s(day, clock, "B") < step_s + 0.2);
            CHECK(clock.cameras.at("A").offset_s == 0);
        }
}

TEST_CASE(
    "a clock that fell back to its first day for one recording spoils neither the others nor the search") {
    auto day = film_day(7, 60, {{.name = "A", .share = 0.9}, {.name = "B", .offset_s = 37.25}});
    const Offset before = set_day_clock(day.recordings, {}).cameras.at("B");
    for (auto& recording : day.recordings)
        if (recording.camera == "B") {
            recording.began->at_s -=
                50 * 365.25 * 86400; // millions of lines to try, were each of them a drift
            break;
        }
    const Offset after = set_day_clock(day.recordings, {}).cameras.at("B");
    CHECK(after.confidence > 0.9);
    CHECK(std::abs(after.offset_s - before.offset_s) < 0.5);
}

TEST_CASE(
    "drift over the day is found where the clocks tell enough, and is not made up where there is none") {
    const auto day = film_day(11, 150,
                              {{.name = "A", .share = 0.9, .step_s = 0.04},
                               {.name = "B", .offset_s = 5, .drift_ppm = 35, .step_s = 0.04}});
    const Offset b = set_day_clock(day.recordings, {}).cameras.at("B");
    CHECK(b.drifts);
    CHECK(std::abs(b.drift_ppm - 35) < 5);

    int made_up = 0;
    for (std::uint64_t seed = 1; seed <= 20; ++seed) {
        const auto steady = film_day(seed, 60, {{.name = "A", .share = 0.9}, {.name = "B"}});
        made_up += set_day_clock(steady.recordings, {}).cameras.at("B").drifts;
    }
    CHECK(made_up <= 4); // two standard errors: one in twenty is expected
}

TEST_CASE("cameras that filmed no rally together are said to be unsure") {
    int sure = 0, days = 0;
    for (std::uint64_t seed = 1; seed <= 40; ++seed) {
        // Two days of their own, laid side by side.
        auto one = film_day(seed, 30, {{.name = "A", .share = 0.9}});
        const auto other = film_day(seed + 1000, 30, {{.name = "B", .share = 0.6}});
        one.recordings.insert(one.recordings.end(), other.recordings.begin(), other.recordings.end());
        const auto clock = set_day_clock(one.recordings, {});
        ++days;
        if (clock.cameras.contains("B")) sure += clock.cameras.at("B").confidence > 0.8;
    }
    CHECK(sure <= days / 10);
}

TEST_CASE("a camera that heard nothing with the first is reached through one that did") {
    // A and C never film one rally; B films them all.
    auto day = film_day(
        3, 60, {{.name = "A"}, {.name = "B", .share = 1, .offset_s = 12}, {.name = "C", .offset_s = -400}});
    std::set<int> of_a;
    for (std::size_t i = 0; i < day.recordings.size(); ++i)
        if (day.recordings[i].camera == "A") of_a.insert(day.rally[i]);
    std::vector<Recording> kept;
    for (std::size_t i = 0; i < day.recordings.size(); ++i)
        if (day.recordings[i].camera != "C" || !of_a.contains(day.rally[i]))
            kept.push_back(day.recordings[i]);
    const auto clock = set_day_clock(kept, {{"A", 0}});
    REQUIRE(clock.cameras.contains("C"));
    CHECK(clock.cameras.at("C").against == "B");
    CHECK(std::abs(clock.cameras.at("C").offset_s + 400) < 1);
}

TEST_CASE("given offsets stay, and others are found against them") {
    const auto day = film_day(5, 50, {{.name = "A", .share = 0.9}, {.name = "B", .offset_s = 60}});
    const auto clock = set_day_clock(day.recordings, {{"B", 100}});
    CHECK(clock.cameras.at("B").offset_s == 100);
    CHECK(std::abs(clock.cameras.at("A").offset_s - 40) < 1);
    CHECK(set_day_clock(day.recordings, {{"A", 0}, {"B", 7}}).cameras.at("B").offset_s == 7);
}

TEST_CASE("the order of the recordings does not matter") {
    auto day = film_day(9, 40, {{.name = "A", .share = 0.9}, {.name = "B", .offset_s = 60}});
    const Offset one = set_day_clock(day.recordings, {{"A", 0}}).cameras.at("B");
    std::reverse(day.recordings.begin(), day.recordings.end());
    const Offset other = set_day_clock(day.recordings, {{"A", 0}}).cameras.at("B");
    CHECK(other.offset_s == Approx(one.offset_s).margin(1e-6));
    CHECK(other.rallies == one.rallies);
}

TEST_CASE("no recordings, no clocks, one camera: nothing is found and nothing breaks") {
    CHECK(set_day_clock({}, {}).cameras.empty());
    const std::vector<Recording> blind{{"A", {}, 5, {}}, {"B", {}, 5, {{1, 1}}}};
    CHECK(set_day_clock(blind, {}).cameras.empty());
    CHECK(moments({}, blind) == std::vector<int>{-1, -1});
    const std::vector<Recording> one{{"A", Began{100, 1}, 5, {}}};
    const auto clock = set_day_clock(one, {});
    CHECK(clock.cameras.at("A").offset_s == 0);
    CHECK(moments(clock, one) == std::vector<int>{-1});
}

TEST_CASE("recordings of one rally share a moment, and of no other") {
    const auto day = film_day(
        21, 80,
        {{.name = "A", .share = 0.9}, {.name = "B", .offset_s = 61}, {.name = "C", .offset_s = -3600}});
    const auto clock = set_day_clock(day.recordings, {});
    const auto found = moments(clock, day.recordings);
    std::size_t together = 0, split = 0, mixed = 0;
    for (std::size_t i = 0; i < found.size(); ++i)
        for (std::size_t j = i + 1; j < found.size(); ++j) {
            const bool truth = day.rally[i] == day.rally[j];
            const bool said = found[i] >= 0 && found[i] == found[j];
            together += truth && said;
            split += truth && !said;
            mixed += !truth && said;
        }
    INFO(together << " together, " << split << " split, " << mixed << " mixed");
    CHECK(together > 40);
    CHECK(split <=
          together / 10); // two cameras that closed in on the ends of a rally have no contact in common
    CHECK(mixed == 0);
}

TEST_CASE("a clip without contacts answers the rally that it follows") {
    const DayClock clock{{{"A", {.camera = "A"}}, {"B", {.camera = "B"}}}};
    const auto at = [](double s) { return Began{s, 0.04}; };
    const std::vector<Recording> day{{"A", at(100), 8, {{1, 1}, {2, 1}, {3.2, 1}}}, // contacts until 103.2
                                     {"B", at(105), 3, {}},                         // a face
                                     {"B", at(140), 3, {}},                         // much later
                                     {"A", at(200), 8, {{1, 1}, {2, 1}}}};
    CHECK(moments(clock, day) == std::vector<int>{0, 0, -1, -1});
}

TEST_CASE("a recording of several rallies has no moment") {
    const DayClock clock{{{"A", {.camera = "A"}}, {"B", {.camera = "B"}}}};
    const std::vector<Recording> day{
        {"A", Began{100, 0.04}, 80, {{1, 1}, {2, 1}, {3.2, 1}, {40, 1}, {41, 1}}},
        {"B", Began{101, 0.04}, 4, {{0.5, 1}, {1.5, 1}}}};
    CHECK(moments(clock, day) == std::vector<int>{-1, -1});
}

TEST_CASE("moments run across the files that a camera split") {
    const DayClock clock{{{"A", {.camera = "A"}}}};
    const std::vector<Recording> day{{"A", Began{100, 0.04}, 10, {{7, 1}, {8, 1}, {9.4, 1}}},
                                     {"A", Began{110, 0.04}, 10, {{0.6, 1}, {1.5, 1}}},
                                     {"A", Began{140, 0.04}, 10, {{1, 1}, {2, 1}}}};
    CHECK(moments(clock, day) == std::vector<int>{0, 0, -1});
}

TEST_CASE("contacts of one rally have one number in every recording that holds them") {
    const auto day = film_day(33, 80,
                              {{.name = "A", .share = 0.9, .step_s = 0.04},
                               {.name = "B", .offset_s = 61, .step_s = 0.04},
                               {.name = "C", .offset_s = -3600}});
    const auto clock = set_day_clock(day.recordings, {});
    std::size_t same = 0, parted = 0, mixed = 0, untold = 0, rallies = 0;
    for (int rally = 0; rally < 80; ++rally) {
        std::vector<Recording> its;
        std::vector<double> began_s;
        for (std::size_t i = 0; i < day.recordings.size(); ++i)
            if (day.rally[i] == rally && !day.recordings[i].contacts.empty()) {
                its.push_back(day.recordings[i]);
                began_s.push_back(day.began_s[i]);
            }
        if (its.size() < 2) continue;
        ++rallies;
        const auto numbers = number_contacts(clock, its);
        if (!numbers) {
            ++untold;
            continue;
        }
        for (std::size_t r = 0; r < its.size(); ++r) {
            CHECK(std::is_sorted((*numbers)[r].begin(), (*numbers)[r].end()));
            CHECK(std::adjacent_find((*numbers)[r].begin(), (*numbers)[r].end()) == (*numbers)[r].end());
            for (std::size_t q = r + 1; q < its.size(); ++q)
                for (std::size_t i = 0; i < its[r].contacts.size(); ++i)
                    for (std::size_t j = 0; j < its[q].contacts.size(); ++j) {
                        // Heard up to 0.05 s apart; no two contacts are nearer than 0.4 s.
                        const double apart_s =
                            began_s[r] + its[r].contacts[i].at_s - began_s[q] - its[q].contacts[j].at_s;
                        const bool truth = std::abs(apart_s) < 0.051,
                                   said = (*numbers)[r][i] == (*numbers)[q][j];
                        same += truth && said;
                        parted += truth && !said;
                        mixed += !truth && said;
                    }
        }
    }
    INFO(same << " same, " << parted << " parted, " << mixed << " mixed, " << untold << " of " << rallies
              << " rallies untold");
    CHECK(same > 60);
    CHECK(parted + mixed <= same / 20);
    CHECK(3 * untold < rallies); // a contact alone, by a clock that tells to a second, may be any
}

TEST_CASE("where clocks tell too little no contact has a number") {
    const DayClock clock{{{"A", {.camera = "A"}}, {"B", {.camera = "B", .confidence = 0.5}}}};
    const std::vector<Recording> rally{{"A", Began{100, 0.04}, 8, {{1, 1}, {2, 1}}},
                                       {"B", Began{100, 0.04}, 8, {{1, 1}}}};
    CHECK(!number_contacts(clock, rally));
    const DayClock coarse{{{"A", {.camera = "A"}}, {"B", {.camera = "B"}}}};
    std::vector<Recording> single{{"A", Began{100, 1}, 8, {{1, 1}, {2, 1}}},
                                  {"B", Began{100, 1}, 8, {{1, 1}}}};
    CHECK(!number_contacts(coarse, single)); // one contact may be either
    single[1].contacts = {{1.3, 1}, {2.3, 1}};
    const auto numbers = number_contacts(coarse, single);
    REQUIRE(numbers);
    CHECK((*numbers)[1] == std::vector<int>{0, 1});
}

TEST_CASE("one rally alone is a guess, however well it fits") {
    // Two rallies 500 s apart with pauses alike.
    const std::vector<Recording> day{{"A", Began{1000, 0.04}, 6, {{1, 1}, {2.1, 1}, {3.3, 1}, {4.1, 1}}},
                                     {"B", Began{1500, 0.04}, 6, {{1.5, 1}, {2.6, 1}, {3.8, 1}, {4.6, 1}}}};
    const auto clock = set_day_clock(day, {{"A", 0}});
    REQUIRE(clock.cameras.contains("B"));
    CHECK(clock.cameras.at("B").rallies == 1);
    CHECK(clock.cameras.at("B").confidence <= 0.7);
    CHECK(moments(clock, day) == std::vector<int>{-1, -1});
}

TEST_CASE("offsets given for cameras without recordings leave the others their own day") {
    const auto day = film_day(5, 50, {{.name = "wide", .share = 0.9}, {.name = "net", .offset_s = 60}});
    const auto clock = set_day_clock(day.recordings, {{"A", 0}, {"B", 60}});
    CHECK(!clock.cameras.contains("A"));
    REQUIRE(clock.cameras.contains("net"));
    CHECK(std::abs(clock.cameras.at("net").offset_s - clock.cameras.at("wide").offset_s - 60) < 1);
}

TEST_CASE("given offsets keep their value and learn how far off they are and how they drift") {
    const auto day = film_day(11, 150,
                              {{.name = "A", .share = 0.9, .step_s = 0.04},
                               {.name = "B", .offset_s = 5, .drift_ppm = 35, .step_s = 0.04}});
    const Offset b = set_day_clock(day.recordings, {{"A", 0}, {"B", 5.3}}).cameras.at("B");
    CHECK(b.offset_s == 5.3);
    CHECK(b.error_s == Approx(0.3).margin(0.06));
    CHECK(std::abs(b.drift_ppm - 35) < 5);
}

TEST_CASE("a silent clip that ran over several rallies has no moment") {
    const DayClock clock{{{"A", {.camera = "A"}}, {"B", {.camera = "B"}}, {"C", {.camera = "C"}}}};
    const auto at = [](double s) { return Began{s, 0.04}; };
    const std::vector<Recording> day{{"A", at(100), 8, {{1, 1}, {2, 1}}},
                                     {"B", at(100), 8, {{1, 1}, {2, 1}}},
                                     {"A", at(130), 8, {{1, 1}, {2, 1}}},
                                     {"C", at(95), 90, {}}};
    CHECK(moments(clock, day) == std::vector<int>{0, 0, -1, -1});
}

TEST_CASE("no two recordings of one camera that overlap are of one moment") {
    const DayClock clock{{{"A", {.camera = "A"}}}};
    const auto at = [](double s) { return Began{s, 0.04}; };
    const std::vector<Recording> day{{"A", at(100), 8, {{1, 1}, {2, 1}}},
                                     {"A", at(100), 8, {{1, 1}, {2.5, 1}}}};
    CHECK(moments(clock, day) == std::vector<int>{-1, -1});
}

TEST_CASE("a stop that was asked for ends the search") {
    std::stop_source stop;
    stop.request_stop();
    const auto day = film_day(5, 50, {{.name = "A", .share = 0.9}, {.name = "B", .offset_s = 60}});
    CHECK(set_day_clock(day.recordings, {}, {{}, stop.get_token()}).cameras.empty());
}
