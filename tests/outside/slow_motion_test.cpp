// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later

// Slow motion: rates of ITU-R BT.709-6 and their multiples; each picture once means a speed of list rate / capture rate,
// and the values below are that in exact fractions, by hand. The shutter at 180 degrees is open for half of a picture's time:
// handbooks of cinematography, many; its values for other rates follow.
#include "support/catch.h"
#include "unit/shotlog/media_of.h"

#include "downball/shotlog/log.h"
#include "downball/time/slow_motion.h"

#include <array>

using namespace downball;

namespace {

const Rate ntsc_24{24000, 1001}, ntsc_30{30000, 1001}, ntsc_60{60000, 1001}, ntsc_120{120000, 1001};

// The notes of a day with one take, taken and played at these rates.
std::vector<std::string> notes_of(Rate container, const std::string& capture_fps, Rate list) {
    const MediaInfo media = media_of("c.mp4", 20, container);
    shotlog::Footage footage;
    footage.media["c.mp4"] = media;
    footage.delivery = list;
    const auto log = shotlog::read_log(
        "id,file,camera,kind,capture_fps\nT1,c.mp4,net,cutaway," + capture_fps + "\n", "log.csv", {});
    REQUIRE(log);
    const auto shots = bind(*log, footage);
    REQUIRE(shots);
    return shots->notes;
}

} // namespace

TEST_CASE("speeds that show each picture once") {
    const std::array<Rate, 5> lists{ntsc_24, Rate(24), Rate(25), ntsc_30, Rate(30)};
    struct Row {
        Rate capture;
        std::array<double, 5> percent;
    };
    for (const auto& [capture, percent] :
         {Row{Rate(120), {19.980, 20, 20.8333, 24.975, 25}}, Row{ntsc_120, {20, 20.02, 20.8542, 25, 25.025}},
          Row{Rate(240), {9.990, 10, 10.4167, 12.4875, 12.5}}, Row{Rate(100), {23.976, 24, 25, 29.970, 30}},
          Row{Rate(60), {39.960, 40, 41.6667, 49.950, 50}}, Row{ntsc_60, {40, 40.04, 41.7083, 50, 50.05}},
          Row{Rate(50), {47.952, 48, 50, 59.940, 60}}})
        for (std::size_t i = 0; i < lists.size(); ++i) {
            INFO(to_string(capture) << " in " << to_string(lists[i]));
            CHECK(100 / stretch_of_each_once(capture, lists[i]).to_double() ==
                  Approx(percent[i]).margin(0.0005));
        }
    const auto speed = [](Rate capture, Rate list) {
        return Fraction(1) / stretch_of_each_once(capture, list);
    };
    CHECK(speed(Rate(120), ntsc_24) == Fraction(200, 1001));
    CHECK(speed(ntsc_120, Rate(24)) == Fraction(1001, 5000));
    CHECK(speed(ntsc_120, Rate(25)) == Fraction(1001, 4800));
    CHECK(speed(ntsc_120, Rate(30)) == Fraction(1001, 4000));
    CHECK(speed(Rate(120), ntsc_30) == Fraction(250, 1001));
    CHECK(speed(Rate(120), Rate(25)) == Fraction(5, 24));
    CHECK(speed(Rate(240), Rate(25)) == Fraction(5, 48));
    CHECK(speed(Rate(100), Rate(24)) == Fraction(6, 25));
    CHECK(speed(Rate(50), Rate(24)) == Fraction(12, 25));
}

TEST_CASE("a second at 120 pictures, each once") {
    CHECK(stretch_of_each_once(Rate(120), Rate(24)).to_double() == 5);
    CHECK(stretch_of_each_once(Rate(120), ntsc_24).to_double() == Approx(5.005).margin(1e-9));
    CHECK(stretch_of_each_once(Rate(120), Rate(25)).to_double() == Approx(4.8).margin(1e-9));
    CHECK(stretch_of_each_once(Rate(120), ntsc_30).to_double() == Approx(4.004).margin(1e-9));
    CHECK(stretch_of_each_once(Rate(120), Rate(30)).to_double() == 4);
}

TEST_CASE("the shutter at 180 degrees") {
    for (const int fps : {24, 25, 30, 60, 120})
        CHECK(shutter_s(Rate(fps)) == Fraction(1, 2 * fps));
    CHECK(1000 * shutter_s(Rate(120)).to_double() == Approx(4.1667).margin(0.00005));
    CHECK(shutter_s(ntsc_30) == Fraction(1001, 60000));
    CHECK(shutter_s(Rate(24), 90) == Fraction(1, 96));
    // A ball of 20 m/s is drawn out so far: follows from the two.
    CHECK(20000 * shutter_s(Rate(120)).to_double() == Approx(83.3).margin(0.05));
    CHECK(20000 * shutter_s(Rate(24)).to_double() == Approx(416.7).margin(0.05));
}

TEST_CASE("the notes on a fast camera say these numbers") {
    CHECK(notes_of(Rate(120), "", Rate(24)) ==
          std::vector<std::string>{"camera net: at 120 fps each picture shown once runs 5 times slower than "
                                   "life at 24 fps; a 180-degree shutter is 1/240 s"});
    const auto odd = notes_of(Rate(120), "", Rate(25));
    REQUIRE(odd.size() == 1);
    CHECK_THAT(odd[0], Catch::Contains("runs 4.8 times slower than life at 25 fps"));
    CHECK_THAT(odd[0], Catch::Contains("at the speed of life pictures drop unevenly"));
    const auto conformed = notes_of(Rate(24), "120", Rate(24));
    REQUIRE(conformed.size() == 1);
    CHECK_THAT(conformed[0], Catch::Contains("at 120 fps each picture shown once runs 5 times slower"));
    const auto lifelike = notes_of(Rate(120), "120", Rate(24));
    REQUIRE(lifelike.size() == 1);
    CHECK_THAT(lifelike[0], Catch::Contains("the files play at the speed of life"));
    // 120 in the log of a camera of 120000/1001 is the number on its menu.
    CHECK_THAT(notes_of(ntsc_120, "120", ntsc_24).at(0),
               Catch::Contains("at 119.88 fps") && Catch::Contains(" 5 times slower"));
    CHECK(notes_of(Rate(25), "", Rate(25)).empty());
    CHECK(notes_of(ntsc_24, "", Rate(24)).empty());
    CHECK(notes_of(Rate(24), "", Rate(25)).empty());
}
