// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later

// Speed of sound: ISO 9613-1:1993, c = 343.2 sqrt(T / 293.15), cross-checked against the ideal gas law.
// Delays and frames follow from it by arithmetic.
#include "support/catch.h"
#include "unit/shotlog/media_of.h"

#include "downball/shotlog/log.h"
#include "downball/time/rate.h"

#include <cmath>

using namespace downball;
using namespace downball::shotlog;

namespace {

// Picture instant of a contact heard at 5 s, through the log as a user writes it.
double picture_s(double distance_m, double air_c, Rate container, const std::string& capture_fps) {
    const MediaInfo media = media_of("c.mp4", 20, container);
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

TEST_CASE("delay by distance in frames of the list, at 20 C") {
    struct Line {
        double metres, at_24, at_25, at_30, at_60, at_120;
    };
    for (const Line& line :
         {Line{1, 0.070, 0.073, 0.087, 0.175, 0.350}, Line{3, 0.210, 0.219, 0.262, 0.525, 1.049},
          Line{5, 0.350, 0.364, 0.437, 0.874, 1.748}, Line{8, 0.559, 0.583, 0.699, 1.399, 2.797},
          Line{10, 0.699, 0.728, 0.874, 1.748, 3.497}, Line{15, 1.049, 1.093, 1.311, 2.622, 5.245},
          Line{20, 1.399, 1.457, 1.748, 3.497, 6.993}, Line{30, 2.098, 2.185, 2.622, 5.245, 10.490},
          Line{50, 3.497, 3.642, 4.371, 8.741, 17.483}}) {
        const double delay_s = delay_ms(line.metres, 20) / 1000;
        for (const auto& [rate, frames] : {std::pair{24, line.at_24},
                                           {25, line.at_25},
                                           {30, line.at_30},
                                           {60, line.at_60},
                                           {120, line.at_120}})
            CHECK(delay_s * Rate(rate).per_second() == Approx(frames).margin(0.0006));
    }
}

TEST_CASE("one frame of sound travel, and where it rounds to a whole frame") {
    for (const auto& [metres, rate] : {std::pair{14.300, Rate(24)},
                                       {13.728, Rate(25)},
                                       {11.451, Rate(30000, 1001)},
                                       {11.440, Rate(30)},
                                       {5.720, Rate(60)},
                                       {2.860, Rate(120)}})
        CHECK(delay_ms(metres, 20) == Approx(1000 / rate.per_second()).margin(0.002));
    for (const auto& [metres, rate] : {std::pair{7.150, 24}, {6.864, 25}, {5.720, 30}, {2.860, 60}}) {
        const Rate list(rate);
        CHECK(nearest_frame((delay_ms(metres + 0.01, 20)) / 1000, list) == Frame{1});
        CHECK(nearest_frame((delay_ms(metres - 0.01, 20)) / 1000, list) == Frame{0});
    }
}

// ITU-R BT.1359-1: sound is seen to be early from about 45 ms on, late from about 125 ms on.
TEST_CASE("the distances at which uncorrected sound is seen to be off") {
    CHECK(delay_ms(15.444, 20) == Approx(45).margin(0.002));
    CHECK(delay_ms(42.9, 20) == Approx(125).margin(0.002));
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
