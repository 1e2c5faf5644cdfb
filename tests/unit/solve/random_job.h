// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/splitmix64.h"
#include "downball/solve/solve.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <fmt/format.h>
#include <string>

namespace downball::tests {

class Dice : public SplitMix64 {
  public:
    using SplitMix64::SplitMix64;

    double real(double low = 0, double high = 1) { return low + (high - low) * unit(); }
    int whole(int low, int high) {
        return low + static_cast<int>(next() % static_cast<std::uint64_t>(high - low + 1));
    }
};

// An invented job: values only, nothing in it comes from a file.
struct Job {
    BeatGrid beats;
    ShotLog log;
    Limits limits;
    double song_start_s = 0;
    solve::Problem problem() const { return {beats, log, limits, song_start_s}; }
};

struct JobSize {
    int takes = 45;
    double length_s = 60;
    double bpm = 126;
    Rate rate{25};
    double contacts = 3;  // a rally take, on average
    double breaks = 0.25; // share of takes without contacts
    double take_s = 8;
};

inline BeatGrid make_beats(Dice& dice, double length_s, double bpm, double first_s) {
    BeatGrid grid;
    grid.duration_s = length_s;
    grid.tempo_bpm = bpm;
    grid.beats_per_bar = 4;
    grid.steady = true;
    double period = 60 / bpm;
    for (int k = 0; first_s + k * period < length_s; ++k) {
        Beat beat;
        beat.seconds = first_s + k * period;
        beat.position = k % 4 + 1;
        beat.strength = std::clamp((k % 4 == 0   ? 0.9
                                    : k % 2 == 0 ? 0.65
                                                 : 0.45) +
                                       dice.real(-0.1, 0.1),
                                   0.0, 1.0);
        double at = beat.seconds / length_s;
        beat.energy = at < 0.12   ? 0.25
                      : at < 0.4  ? 0.6
                      : at < 0.65 ? 0.9
                      : at < 0.78 ? 0.3
                      : at < 0.93 ? 1
                                  : 0.2;
        grid.beats.push_back(beat);
    }
    std::size_t n = grid.beats.size();
    for (std::size_t k = 1, first = 0; k <= n; ++k)
        if (k == n || grid.beats[k].energy != grid.beats[k - 1].energy) {
            grid.sections.push_back({first, k, grid.beats[k - 1].energy});
            if (first > 0 && grid.beats[first].energy >= 0.9 && !grid.arrival) grid.arrival = first;
            first = k;
        }
    return grid;
}

inline Take make_take(Dice& dice, const JobSize& size, int t, std::size_t media, const MediaInfo& file) {
    static const char* players[] = {"A1", "A2", "B1", "B2"};
    static const char* cameras[] = {"court", "net", "roof"};
    Take take;
    take.id = fmt::format("t{}", t + 1);
    take.media = media;
    take.order = t;
    take.camera = cameras[dice.whole(0, 2)];
    take.size = static_cast<Size>(dice.whole(1, 3));
    take.angle = static_cast<Angle>(dice.whole(1, 4));
    take.side = static_cast<Side>(dice.whole(0, 2));
    take.rating = dice.whole(1, 5);
    take.set = 1 + 3 * t / std::max(1, size.takes);
    take.ends = dice.whole(0, 1);
    take.out_s = file.duration_s;
    if (dice.chance(size.breaks)) {
        static const Kind kinds[] = {Kind::cutaway, Kind::cutaway, Kind::reaction, Kind::celebration,
                                     Kind::establishing};
        take.kind = kinds[dice.whole(0, 4)];
        if (take.kind == Kind::reaction) take.players = {players[dice.whole(0, 3)]};
        return take;
    }
    take.kind = Kind::action;
    take.players = {players[dice.whole(0, 3)]};
    if (dice.chance(0.4)) take.players.push_back(players[dice.whole(0, 3)]);
    int count = std::max(1, static_cast<int>(size.contacts + dice.real(-1.5, 1.5)));
    double at = dice.real(0.5, 1.5);
    for (int c = 0; c < count && at < take.out_s - 0.5; ++c) {
        Impact impact;
        impact.picture_s = at;
        impact.sound_s = at + 0.03;
        impact.confidence = dice.chance(0.15) ? dice.real(0.1, 0.5) : dice.real(0.5, 1);
        impact.strength = dice.real(0.1, 1);
        impact.id = fmt::format("{}#{}", take.id, static_cast<int>(at * 1000));
        impact.skill = static_cast<Skill>(dice.whole(0, 5));
        take.skills.push_back(*impact.skill);
        take.impacts.push_back(impact);
        at += dice.real(0.4, 1.6);
    }
    return take;
}

// In half of the rallies the clocks told which contact is which; takes may hold any of them.
inline void number_contacts(std::uint64_t seed, ShotLog& log) {
    for (Take& take : log.takes) {
        Dice of_rally(seed * 131 + std::hash<std::string>()(take.moment));
        if (take.moment.empty() || of_rally.chance(0.5)) continue;
        Dice dice(seed * 137 + std::hash<std::string>()(take.id));
        int number = dice.whole(0, 2);
        for (Impact& impact : take.impacts) {
            impact.event = number;
            number += dice.whole(1, 2);
        }
    }
}

inline Job make_job(std::uint64_t seed, const JobSize& size) {
    Dice dice(seed);
    Job job;
    job.beats = make_beats(dice, size.length_s, size.bpm, dice.real(0, 0.3));
    job.limits.delivery.rate = size.rate;
    for (int t = 0; t < size.takes; ++t) {
        MediaInfo file;
        file.has_video = true;
        static const int rates[] = {25, 50, 100, 120};
        file.rate = Rate(rates[dice.whole(0, 3)]);
        file.duration_s = dice.real(size.take_s / 2, size.take_s * 1.5);
        file.name = fmt::format("clip{}.mp4", t + 1);
        job.log.media.push_back(file);
        Take take = make_take(dice, size, t, job.log.media.size() - 1, job.log.media.back());
        if (dice.chance(0.5)) take.moment = fmt::format("rally{}", t / 3);
        job.log.takes.push_back(take);
    }
    number_contacts(seed, job.log);
    return job;
}

} // namespace downball::tests
