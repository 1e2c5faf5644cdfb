// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "camera.h"
#include "rally.h"

#include <string>
#include <vector>

namespace downball::sample {

enum class TakeSound {
    none,
    aac,
    aac_late,
    pcm
}; // aac_late: the sound track begins late_s after the picture
inline constexpr double late_s = 0.2;

// A contact as it falls into one take, in media seconds of its file.
struct TakeContact {
    double picture_s = 0, sound_s = 0;
    Skill skill = Skill::serve;
    int player = 0;
    Vec3 ball;
    bool visible = false; // inside the picture
    double snr_db = 0;    // hit over bed, filled when the sound is made
};

struct Take {
    std::string id, file, reel, kind, size, angle, side, note, use;
    char camera = 'A';
    int number = 0;     // 1..255, burnt into the picture
    int rate = 25;      // of the container
    int capture = 25;   // pictures a second of real life; above `rate` the file plays slower than life
    int rally = -1;     // index, or none
    double start_s = 0; // first frame, in the rally's seconds; without a rally any number
    double clock_s = 0; // time of day of the first frame
    double length_s = 4;
    int rating = 3;
    int set = 0, a = 0, b = 0;
    std::string moment;
    Camera view{{0, -15, 3}, {0, 0, 1}, 480};
    double joy = -1; // of the crowd; -1 = as the rally goes
    TakeSound sound = TakeSound::aac;
    bool music = false;
    bool players_shown = true;
    double distance_m = 15;
    std::vector<int> players; // who is shown, for takes without contacts; else found from the contacts
    std::vector<TakeContact> contacts;
    std::vector<double> other_thuds; // ball on sand, as heard: no contact, but it sounds a little like one
    double in_s = 0, out_s = 0;      // the stretch a user would mark

    int frames() const { return static_cast<int>(std::lround(length_s * rate)); }
    double slowness() const { return static_cast<double>(capture) / rate; }
    double life_s(double media_s) const { return start_s + media_s / slowness(); }
};

struct Scenario {
    std::vector<Rally> rallies;
    std::vector<Take> takes;
    double air_temperature_c = 27;
    double speed_of_sound() const {
        return 343.2 * std::sqrt((air_temperature_c + 273.15) / 293.15);
    } // ISO 9613-1
};

Scenario make_scenario();

// How far a camera's clock is ahead of the time of day. Nobody set B's that morning, and C's still shows winter time
// of another zone.
double clock_ahead_s(char camera);

// 0..1: how much the stands rejoice at an instant.
double joy_at(const Take& take, const Scenario& scenario, double media_s);

} // namespace downball::sample
