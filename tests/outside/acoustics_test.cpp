// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later

// Speed of sound: ISO 9613-1:1993, c = 343.2 sqrt(T / 293.15), cross-checked against the ideal gas law.
// Delays and frames follow from it by arithmetic.
#include "support/catch.h"

#include "downball/shotlog/log.h"
#include "downball/time/rate.h"

#include <cmath>

using namespace downball;
using namespace downball::shotlog;

namespace {

// Picture instant of a contact heard at 5 s, through the log as a user writes it.
double picture_s(double distance_m, double air_c, Rate container, const std::string& capture_fps) {
    MediaInfo media;
    media.name = "c.mp4";
    media.duration_s = 20;
    media.has_video = true;
    media.rate = media.frames.constant = container;
    media.average_fps = container.per_second();
    media.audio = AudioInfo{48000, 1, 0, 20};
    Footage footage;
    footage.media["c.mp4"] = media;
    footage.air_temperature_c = air_c;
    const std::string row = "T1,c.mp4,action,5," + std::to_string(distance_m) + "," + capture_fps + "\n";
    const auto log = read_log("id,file,kind,contacts,distance_m,capture_fps\n" + row, "log.csv", {});
    REQUIRE(log);
    const auto shots = bind(*log, footage);
    REQUIRE(shots);
    REQUIRE(shots->takes[0].impacts.size() == 1);
    return shots->takes[0].impacts[0].picture_s;
}

double delay_ms(double distance_m, double air_c) {
    return 1000 * (5 - picture_s(distance_m, air_c, Rate(25), ""));
}

} // namespace

TEST_CASE("speed of sound by ISO 9613-1") {
    for (const auto& [air_c, c] :
         {std::pair{0.0, 331.286}, {10.0, 337.296}, {20.0, 343.200}, {30.0, 349.005}, {40.0, 354.714}})
        CHECK(speed_of_sound(air_c) == Approx(c).margin(0.0006));
}

TEST_CASE("speed of sound against the ideal gas law, which lies 0.035 m/s higher") {
    for (const double air_c : {0.0, 20.0, 30.0}) {
        const double ideal = std::sqrt(1.4 * 8.314462618 * (air_c + 273.15) / 0.0289647);
        CHECK(ideal - speed_of_sound(air_c) == Approx(0.035).margin(0.002));
    }
}

TEST_CASE("delay by distance and temperature") {
    struct Line {
        double metres, at_0_c, at_20_c, at_30_c;
    };
    for (const Line& line :
         {Line{1, 3.019, 2.914, 2.865}, Line{3, 9.056, 8.741, 8.596}, Line{5, 15.093, 14.569, 14.326},
          Line{8, 24.148, 23.310, 22.922}, Line{10, 30.185, 29.138, 28.653}, Line{15, 45.278, 43.706, 42.979},
          Line{20, 60.371, 58.275, 57.306}, Line{30, 90.556, 87.413, 85.959},
          Line{50, 150.927, 145.688, 143.265}}) {
        CHECK(delay_ms(line.metres, 0) == Approx(line.at_0_c).margin(0.0006));
        CHECK(delay_ms(line.metres, 20) == Approx(line.at_20_c).margin(0.0006));
        CHECK(delay_ms(line.metres, 30) == Approx(line.at_30_c).margin(0.0006));
    }
}

TEST_CASE("one frame of sound travel, and where it rounds to a whole frame") {
    CHECK(delay_ms(14.300, 20) == Approx(1000.0 / 24).margin(0.002));
    CHECK(delay_ms(13.728, 20) == Approx(1000.0 / 25).margin(0.002));
    for (const auto& [metres, rate] : {std::pair{7.150, 24}, {6.864, 25}, {5.720, 30}, {2.860, 60}}) {
        const Rate list(rate);
        CHECK(nearest_frame((delay_ms(metres + 0.01, 20)) / 1000, list) == Frame{1});
        CHECK(nearest_frame((delay_ms(metres - 0.01, 20)) / 1000, list) == Frame{0});
    }
}

TEST_CASE(
    "slow motion multiplies the delay: 15 m in a 120 fps clip played frame by frame at 24 are 5.245 frames") {
    const double frames = (5 - picture_s(15, 20, Rate(24), "120")) * 24;
    CHECK(frames == Approx(5.245).margin(0.0006));
    CHECK(1000 * frames / 24 == Approx(218.5).margin(0.05));
}

TEST_CASE("a fast container that plays in real time does not") {
    CHECK(1000 * (5 - picture_s(15, 20, Rate(120), "")) == Approx(43.706).margin(0.0006));
    CHECK(1000 * (5 - picture_s(15, 20, Rate(120), "120")) == Approx(43.706).margin(0.0006));
}
