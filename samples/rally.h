// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "figure.h"

#include <array>
#include <string>
#include <string_view>
#include <vector>

namespace downball::sample {

enum class Skill { serve, pass, set, attack, block, dig };
inline constexpr int skill_count = 6;
std::string_view word_of(Skill skill);

// Players 0..3 are A1, A2, B1, B2.
inline constexpr int player_count = 4;
std::string_view id_of_player(int player);
inline int team_of(int player) {
    return player / 2;
}

inline constexpr double ball_radius = 0.107; // 66-68 cm round
inline constexpr double net_height = 2.24;
inline constexpr double gravity = 9.81;

// Hand meets ball, in seconds from the rally's serve.
struct Contact {
    double at_s = 0;
    Skill skill = Skill::serve;
    int player = 0;
    Vec3 ball;
    Vec3 facing; // of the player, horizontal unit
    Vec3 root;   // where the player stands for it
};

// What the scenario says of a rally: its plays as words of player and skill letter ("B1s A2p A1t A2a B1k";
// s serve, p pass, t set, a attack, k block, d dig), in order.
struct RallyScript {
    std::string_view moment, plays;
    int set = 1, a = 0, b = 0; // score when it begins
    int winner = 0;            // team
    double clock_s = 0;        // time of day of the serve
    bool music = false;        // from the stands' loudspeakers
};

struct TrackKey {
    double at_s;
    Vec3 at;
    double run_m; // way covered so far
};

struct Rally {
    RallyScript script;
    double left_of_a = 1; // -1: team A plays at negative x
    std::vector<Contact> contacts;
    double down_s = 0; // the ball meets the sand
    Vec3 down;
    std::array<std::vector<TrackKey>, player_count> tracks;
};

Rally stage_rally(const RallyScript& script);

} // namespace downball::sample
