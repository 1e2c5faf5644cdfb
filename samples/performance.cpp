// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "performance.h"

namespace downball::sample {
namespace {

struct Going {
    Vec3 at, velocity;
    double run_m = 0;
};

Going track_at(const std::vector<TrackKey>& keys, double at_s) {
    if (at_s <= keys.front().at_s) return {keys.front().at, {}, 0};
    for (std::size_t i = 1; i < keys.size(); ++i) {
        const TrackKey &a = keys[i - 1], &b = keys[i];
        if (at_s >= b.at_s) continue;
        const double span = b.at_s - a.at_s, k = (at_s - a.at_s) / span;
        const double eased = k * k * (3 - 2 * k);
        return {mix(a.at, b.at, eased), (b.at - a.at) * (6 * k * (1 - k) / span),
                mix(a.run_m, b.run_m, eased)};
    }
    return {keys.back().at, {}, keys.back().run_m};
}

Pose running(const Pose& still, double run_m, double speed) {
    const double w = clamp01(speed / 2.6);
    const double phase = run_m * 2 * pi / 1.7;
    Pose run = still;
    run.hip = mix(still.hip, 0.86, w * 0.6);
    run.lean = mix(still.lean, 0.30, w);
    const auto foot = [&](double turn, double y) {
        return Vec3{0.36 * std::sin(turn), y, std::max(0.0, 0.24 * std::cos(turn))};
    };
    run.foot_l = foot(phase, -0.13);
    run.foot_r = foot(phase + pi, 0.13);
    run.hand_l = {0.15 - 0.30 * std::sin(phase), -0.26, 1.12};
    run.hand_r = {0.15 + 0.30 * std::sin(phase), 0.26, 1.12};
    return mix(still, run, w);
}

std::span<const Key> keys_of(Skill skill) {
    switch (skill) {
    case Skill::serve:
        return serve_keys();
    case Skill::pass:
        return pass_keys();
    case Skill::set:
        return set_keys();
    case Skill::attack:
        return attack_keys();
    case Skill::block:
        return block_keys();
    case Skill::dig:
        break;
    }
    return dig_keys();
}

// Hands go to the ball for the contact itself, wherever the keys would leave them.
void hands_to_ball(Pose& pose, const Contact& c, Vec3 root, Vec3 forward, double size, double weight) {
    const Vec3 right{forward.y, -forward.x, 0};
    const Vec3 v = c.ball - root;
    const Vec3 ball{dot(v, forward) / size, dot(v, right) / size, (v.z - pose.lift) / size};
    const auto to = [&](Vec3& hand, Vec3 off) { hand = mix(hand, ball + off, weight); };
    switch (c.skill) {
    case Skill::serve:
    case Skill::attack:
        to(pose.hand_r, {-0.11, 0, -0.13});
        break;
    case Skill::pass:
    case Skill::dig:
        to(pose.hand_l, {0.05, -0.045, -0.16});
        to(pose.hand_r, {0.05, 0.045, -0.16});
        break;
    case Skill::set:
    case Skill::block:
        to(pose.hand_l, {-0.08, -0.12, -0.13});
        to(pose.hand_r, {-0.08, 0.12, -0.13});
        break;
    }
}

Vec3 flight(Vec3 from, Vec3 to, double span, double t) {
    const Vec3 fall{0, 0, -gravity / 2};
    return from + ((to - from) * (1 / span) - fall * span) * t + fall * (t * t);
}
Vec3 flight_velocity(Vec3 from, Vec3 to, double span, double t) {
    const Vec3 fall{0, 0, -gravity / 2};
    return (to - from) * (1 / span) - fall * span + fall * (2 * t);
}

constexpr double toss_s = 0.86; // the ball leaves the server's left hand so long before the serve

} // namespace

Stance stance_at(const Rally& rally, int player, double at_s) {
    const double side = team_of(player) == 0 ? rally.left_of_a : -rally.left_of_a;
    const Going going = track_at(rally.tracks[static_cast<std::size_t>(player)], at_s);
    const double speed = length(going.velocity), own_beat = at_s + 0.37 * player;
    const bool over = at_s > rally.down_s;

    Pose still = at_s < -2.2 ? mix(poses::ready(), poses::stand(), 0.6) : poses::ready();
    still.hip += 0.012 * std::sin(own_beat * 5.2);
    Vec3 facing = unit(Vec3{-side, 0, 0});
    if (!over) {
        const Vec3 to_ball = ball_at(rally, std::max(at_s, -toss_s)).at - going.at;
        facing = unit(facing * 1.6 + unit(Vec3{to_ball.x, to_ball.y, 0}));
    }
    Pose pose = running(still, going.run_m, speed);
    if (speed > 0.8) facing = unit(mix(facing, unit(going.velocity), clamp01((speed - 0.8) / 3) * 0.6));

    const Contact* held = nullptr;
    for (const Contact& c : rally.contacts) {
        if (c.player != player) continue;
        const auto keys = keys_of(c.skill);
        const double dt = at_s - c.at_s, from = keys.front().at_s, to = keys.back().at_s;
        if (dt < from || dt > to) continue;
        const double w = ramp(from, from + 0.22, dt) * (1 - ramp(to - 0.28, to, dt));
        pose = mix(pose, pose_at(keys, dt), w);
        facing = unit(mix(facing, c.facing, w));
        held = &c;
    }
    if (over) {
        const double since = at_s - rally.down_s;
        const double w = ramp(0.15, 0.6, since);
        const bool won = team_of(player) == rally.script.winner;
        const Pose mood = won ? (player % 2 == 0 ? poses::fist(own_beat) : poses::cheer(own_beat))
                              : (player % 2 == 0 ? poses::dejected(own_beat) : poses::stand());
        pose = mix(pose, mood, w * (1 - 0.7 * clamp01(speed / 3)));
        facing = unit(mix(facing, Vec3{won ? 0.25 * side : -0.5 * side, -1, 0}, ramp(0.7, 1.6, since)));
    }
    if (held) {
        const double w =
            1 - ramp(0.0, held->skill == Skill::attack || held->skill == Skill::serve ? 0.07 : 0.13,
                     std::abs(at_s - held->at_s));
        hands_to_ball(pose, *held, going.at, facing, look_of(player).height_m / 1.82, w);
    }
    return {going.at, std::atan2(facing.y, facing.x), pose};
}

Ball ball_at(const Rally& rally, double at_s) {
    const Contact& serve = rally.contacts.front();
    const Vec3 right{serve.facing.y, -serve.facing.x, 0};
    if (at_s < 0) {
        const Vec3 start = track_at(rally.tracks[static_cast<std::size_t>(serve.player)], -toss_s).at;
        const Vec3 hand = start + serve.facing * 0.46 - right * 0.10 + Vec3{0, 0, 1.47};
        if (at_s < -toss_s) {
            const double lower = ramp(-1.15, -1.45, at_s);
            return {hand + Vec3{0, 0, -0.45 * lower} - serve.facing * (0.3 * lower), {}};
        }
        return {flight(hand, serve.ball, toss_s, at_s + toss_s),
                flight_velocity(hand, serve.ball, toss_s, at_s + toss_s)};
    }
    for (std::size_t i = 0; i < rally.contacts.size(); ++i) {
        const Contact& from = rally.contacts[i];
        const bool last = i + 1 == rally.contacts.size();
        const Vec3 to = last ? rally.down : rally.contacts[i + 1].ball;
        const double until = last ? rally.down_s : rally.contacts[i + 1].at_s;
        if (at_s >= until) continue;
        const double span = until - from.at_s, t = at_s - from.at_s;
        return {flight(from.ball, to, span, t), flight_velocity(from.ball, to, span, t)};
    }
    // Sand takes most of it: one low hop, then the ball lies.
    const Vec3 come = rally.down - rally.contacts.back().ball;
    const Vec3 on = unit(Vec3{come.x, come.y, 0}) * 0.8;
    const double t = at_s - rally.down_s;
    constexpr double hop_s = 0.46;
    if (t < hop_s) return {flight(rally.down, rally.down + on, hop_s, t), flight_velocity({}, on, hop_s, t)};
    const double roll = 1 - std::exp(-(t - hop_s) * 2.5);
    return {rally.down + on + on * (0.5 * roll), on * (1.25 * (1 - roll))};
}

const Look& look_of(int player) {
    static const std::array<Look, player_count> looks{
        {{{226, 176, 138}, {238, 94, 70}, {38, 46, 92}, {92, 58, 36}, false, 1, 1.80},
         {{164, 112, 78}, {238, 94, 70}, {38, 46, 92}, {40, 28, 26}, true, 2, 1.86},
         {{238, 194, 160}, {24, 150, 152}, {244, 240, 228}, {214, 172, 92}, true, 1, 1.88},
         {{190, 138, 100}, {24, 150, 152}, {244, 240, 228}, {58, 38, 30}, false, 2, 1.78}}};
    return looks[static_cast<std::size_t>(player)];
}

} // namespace downball::sample
