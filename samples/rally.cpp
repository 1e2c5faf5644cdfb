// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "rally.h"

#include "prng.h"

namespace downball::sample {

std::string_view word_of(Skill skill) {
    static constexpr std::array<std::string_view, skill_count> words{"serve",  "pass",  "set",
                                                                     "attack", "block", "dig"};
    return words[static_cast<std::size_t>(skill)];
}

std::string_view id_of_player(int player) {
    static constexpr std::array<std::string_view, player_count> ids{"A1", "A2", "B1", "B2"};
    return ids[static_cast<std::size_t>(player)];
}

namespace {

Skill skill_of_letter(char c) {
    switch (c) {
    case 's':
        return Skill::serve;
    case 'p':
        return Skill::pass;
    case 't':
        return Skill::set;
    case 'a':
        return Skill::attack;
    case 'k':
        return Skill::block;
    default:
        return Skill::dig;
    }
}

// Seconds of flight to a contact, by what it is and what came before: published flight times and straight
// flights at measured speeds (a serve over 13-14 m at 15-17 m/s, a set of 1.1-1.3 s).
double flight_s(Skill to, Skill from, Prng& dice) {
    switch (to) {
    case Skill::pass:
        return dice.range(0.86, 1.02);
    case Skill::set:
        return from == Skill::dig ? dice.range(1.22, 1.48) : dice.range(1.18, 1.40);
    case Skill::attack:
        return dice.range(1.08, 1.26);
    case Skill::block:
        return dice.range(0.022, 0.036);
    case Skill::dig:
        return dice.range(0.36, 0.46);
    case Skill::serve:
        break;
    }
    return 0;
}

Vec3 place_of(Skill skill, double side, bool blocked, Vec3 before, Prng& dice) {
    switch (skill) {
    case Skill::serve:
        return {side * 8.25, dice.range(-2.2, 2.2), 2.78};
    case Skill::pass:
        return {side * dice.range(4.8, 6.2), dice.range(-2.4, 2.4), 0.78};
    case Skill::set:
        return {side * dice.range(1.3, 1.8), dice.range(-1.1, 1.1), 2.05};
    case Skill::attack:
        return {side * (blocked ? 0.46 : dice.range(0.75, 1.15)),
                dice.range(1.3, 2.5) * (before.y > 0 ? -1 : 1), 2.80};
    case Skill::block:
        return {side * 0.22, before.y * 0.97, 2.72};
    case Skill::dig:
        break;
    }
    return {side * dice.range(4.2, 5.6), dice.range(-2.6, 2.6), 0.50};
}

Vec3 flat(Vec3 v) {
    return unit(Vec3{v.x, v.y, 0});
}

void stand_for(Contact& c, Vec3 before, Vec3 after, double side) {
    const Vec3 to_net{-side, 0, 0};
    double ahead = 0.3, aside = 0;
    switch (c.skill) {
    case Skill::serve:
    case Skill::attack:
        c.facing = flat(to_net * 1.2 + flat(after - c.ball));
        ahead = 0.34;
        aside = 0.16;
        break;
    case Skill::pass:
        c.facing = flat(flat(before - c.ball) + to_net * 0.6);
        ahead = 0.62;
        break;
    case Skill::set:
        c.facing = flat(flat(after - c.ball) * 1.4 + to_net);
        ahead = 0.24;
        break;
    case Skill::block:
        c.facing = to_net;
        ahead = 0.30;
        break;
    case Skill::dig:
        c.facing = flat(flat(before - c.ball) + to_net * 0.4);
        ahead = 0.86;
        break;
    }
    const Vec3 right{c.facing.y, -c.facing.x, 0};
    c.root = c.ball - c.facing * ahead - right * aside;
    c.root.z = 0;
}

class TrackMaker {
  public:
    explicit TrackMaker(std::vector<TrackKey>& keys) : keys_(keys) {}
    // A key that would come before the last one is dropped: the body is busy elsewhere.
    void go(double at_s, Vec3 at) {
        if (!keys_.empty() && at_s <= keys_.back().at_s + 0.04) return;
        const double run = keys_.empty() ? 0 : keys_.back().run_m + length(at - keys_.back().at);
        keys_.push_back({at_s, at, run});
    }

  private:
    std::vector<TrackKey>& keys_;
};

Vec3 track_end(const Rally& rally, int player) {
    return rally.tracks[static_cast<std::size_t>(player)].back().at;
}

void make_track(Rally& rally, int player) {
    const double side = team_of(player) == 0 ? rally.left_of_a : -rally.left_of_a;
    const Vec3 home{side * 5.0, player % 2 == 0 ? -1.8 : 1.8, 0};
    TrackMaker track(rally.tracks[static_cast<std::size_t>(player)]);
    std::vector<const Contact*> own;
    for (const Contact& c : rally.contacts)
        if (c.player == player) own.push_back(&c);
    if (own.empty() || own.front()->skill != Skill::serve) track.go(-4, home);
    for (std::size_t i = 0; i < own.size(); ++i) {
        const Contact& c = *own[i];
        const Vec3 f = c.facing;
        switch (c.skill) {
        case Skill::serve:
            track.go(-4, c.root - f * 1.25);
            track.go(c.at_s - 0.85, c.root - f * 1.25);
            track.go(c.at_s - 0.05, c.root);
            track.go(c.at_s + 0.34, c.root + f * 0.7);
            break;
        case Skill::attack:
            track.go(c.at_s - 1.15, c.root - f * 2.3);
            track.go(c.at_s - 0.32, c.root - f * 0.25);
            track.go(c.at_s, c.root);
            track.go(c.at_s + 0.36, c.root + f * 0.10);
            break;
        case Skill::block:
            track.go(c.at_s - 1.5, c.root + Vec3{side * 0.5, c.root.y > 0 ? -0.7 : 0.7, 0});
            track.go(c.at_s - 0.45, c.root);
            track.go(c.at_s + 0.5, c.root);
            break;
        default:
            if (i == 0) track.go(c.at_s - 1.1, home);
            track.go(c.at_s - 0.22, c.root);
            track.go(c.at_s + 0.18, c.root + f * 0.06);
        }
        const bool time_for_home = i + 1 == own.size() || own[i + 1]->at_s - c.at_s > 3.4;
        if (time_for_home && c.at_s + 1.7 < rally.down_s) track.go(c.at_s + 1.7, home);
    }
    // After the point the winners run together, the losers stay where they are and turn away.
    if (team_of(player) == rally.script.winner) {
        track.go(rally.down_s + 0.45, track_end(rally, player));
        const double off = player % 2 == 0 ? -1 : 1;
        track.go(rally.down_s + 1.9, {side * 2.6 + off * 0.46, off * 0.2, 0});
    }
    const Vec3 end = track_end(rally, player);
    track.go(rally.down_s + 14, end);
}

} // namespace

Rally stage_rally(const RallyScript& script) {
    Rally rally;
    rally.script = script;
    const int ends = (script.a + script.b) / 7;
    rally.left_of_a = ends % 2 == 0 ? -1 : 1;
    Prng dice(0xB0A7u + static_cast<std::uint64_t>(script.clock_s));
    double now = 0;
    for (std::size_t i = 0; i + 2 < script.plays.size(); i += 4) {
        const std::string_view play = script.plays.substr(i, 3);
        Contact c;
        c.player = (play[0] == 'B' ? 2 : 0) + (play[1] - '1');
        c.skill = skill_of_letter(play[2]);
        const double side = team_of(c.player) == 0 ? rally.left_of_a : -rally.left_of_a;
        const bool blocked = i + 6 < script.plays.size() && script.plays[i + 6] == 'k';
        const Vec3 before = rally.contacts.empty() ? Vec3{} : rally.contacts.back().ball;
        if (i > 0) now += flight_s(c.skill, rally.contacts.back().skill, dice);
        c.at_s = now;
        c.ball = place_of(c.skill, side, blocked, before, dice);
        rally.contacts.push_back(c);
    }
    const Contact& last = rally.contacts.back();
    const double last_side = last.ball.x < 0 ? -1 : 1;
    const bool serve = last.skill == Skill::serve;
    rally.down = {-last_side * (last.skill == Skill::block ? 1.6
                                : serve                    ? 6.6
                                                           : dice.range(4.4, 6.8)),
                  last.skill == Skill::block ? last.ball.y * 0.8 : -last.ball.y * dice.range(0.5, 1.3),
                  ball_radius};
    rally.down_s = last.at_s + (last.skill == Skill::block ? 0.40 : serve ? 1.02 : 0.43);
    for (std::size_t i = 0; i < rally.contacts.size(); ++i) {
        Contact& c = rally.contacts[i];
        const Vec3 before = i > 0 ? rally.contacts[i - 1].ball : c.ball;
        const Vec3 after = i + 1 < rally.contacts.size() ? rally.contacts[i + 1].ball : rally.down;
        stand_for(c, before, after, team_of(c.player) == 0 ? rally.left_of_a : -rally.left_of_a);
    }
    for (int player = 0; player < player_count; ++player)
        make_track(rally, player);
    return rally;
}

} // namespace downball::sample
