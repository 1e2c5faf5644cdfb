// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pose.h"

#include <array>

namespace downball::sample {

Pose mix(const Pose& a, const Pose& b, double k) {
    return {mix(a.hip, b.hip, k),       mix(a.lean, b.lean, k),     mix(a.nod, b.nod, k),
            mix(a.lift, b.lift, k),     mix(a.smile, b.smile, k),   mix(a.hand_l, b.hand_l, k),
            mix(a.hand_r, b.hand_r, k), mix(a.foot_l, b.foot_l, k), mix(a.foot_r, b.foot_r, k)};
}

Pose pose_at(std::span<const Key> keys, double at_s) {
    if (at_s <= keys.front().at_s) return keys.front().pose;
    for (std::size_t i = 1; i < keys.size(); ++i)
        if (at_s < keys[i].at_s)
            return mix(keys[i - 1].pose, keys[i].pose, ramp(keys[i - 1].at_s, keys[i].at_s, at_s));
    return keys.back().pose;
}

namespace poses {

Pose stand() {
    return {};
}

Pose ready() {
    return {.hip = 0.80,
            .lean = 0.42,
            .nod = -0.35,
            .hand_l = {0.48, -0.24, 0.86},
            .hand_r = {0.48, 0.24, 0.86},
            .foot_l = {0.08, -0.28, 0},
            .foot_r = {-0.06, 0.28, 0}};
}

Pose cheer(double beat_s) {
    const double swing = std::sin(beat_s * 2 * pi * 1.6);
    const double hop = std::abs(std::sin(beat_s * pi * 1.9));
    return {.hip = 0.95 - 0.04 * (1 - hop),
            .lean = -0.08,
            .nod = -0.15,
            .lift = 0.26 * hop,
            .smile = 1,
            .hand_l = {0.05 + 0.06 * swing, -0.42, 2.02},
            .hand_r = {0.05 - 0.06 * swing, 0.42, 2.02 + 0.05 * swing},
            .foot_l = {-0.05, -0.16, 0.02},
            .foot_r = {0.05, 0.16, 0.02}};
}

Pose fist(double beat_s) {
    const double pump = std::pow(std::abs(std::sin(beat_s * pi * 1.5)), 3);
    return {.hip = 0.86,
            .lean = 0.22,
            .nod = -0.1,
            .smile = 1,
            .hand_l = {0.22, -0.30, 1.02},
            .hand_r = {0.34, 0.26, 1.75 - 0.5 * pump},
            .foot_l = {0.18, -0.22, 0},
            .foot_r = {-0.12, 0.24, 0}};
}

Pose dejected(double beat_s) {
    const double breath = std::sin(beat_s * 2 * pi * 0.45);
    return {.hip = 0.86 + 0.01 * breath,
            .lean = 0.85,
            .nod = 0.35,
            .hand_l = {0.30, -0.20, 0.56},
            .hand_r = {0.30, 0.20, 0.56},
            .foot_l = {0.06, -0.24, 0},
            .foot_r = {0.02, 0.24, 0}};
}

Pose clap(double beat_s) {
    const double gap = 0.05 + 0.20 * std::abs(std::sin(beat_s * pi * 2.3));
    return {.hip = 0.94,
            .lean = 0.06,
            .smile = 0.8,
            .hand_l = {0.34, -gap, 1.42},
            .hand_r = {0.34, gap, 1.42},
            .foot_l = {0.03, -0.15, 0},
            .foot_r = {-0.03, 0.15, 0}};
}

} // namespace poses

namespace {

// Take-off, flight and landing that attack and jump serve share.
Pose takeoff(double lift) {
    return {.hip = 0.9,
            .lean = 0.16,
            .nod = -0.4,
            .lift = lift,
            .hand_l = {0.30, -0.25, 1.6},
            .hand_r = {0.10, 0.32, 1.5},
            .foot_l = {0.10, -0.15, 0.05},
            .foot_r = {-0.10, 0.15, 0.0}};
}
Pose cocked(double lift) {
    return {.hip = 0.96,
            .lean = -0.16,
            .nod = -0.35,
            .lift = lift,
            .hand_l = {0.36, -0.14, 2.05},
            .hand_r = {-0.28, 0.34, 1.86},
            .foot_l = {-0.22, -0.14, 0.18},
            .foot_r = {-0.30, 0.15, 0.22}};
}
Pose strike(double lift) {
    return {.hip = 0.97,
            .lean = 0.10,
            .nod = -0.2,
            .lift = lift,
            .hand_l = {0.30, -0.18, 1.35},
            .hand_r = {0.30, 0.16, 2.25},
            .foot_l = {0.02, -0.13, 0.08},
            .foot_r = {-0.12, 0.15, 0.10}};
}
Pose follow(double lift) {
    return {.hip = 0.93,
            .lean = 0.42,
            .nod = 0,
            .lift = lift,
            .hand_l = {0.10, -0.32, 1.0},
            .hand_r = {0.50, -0.05, 1.05},
            .foot_l = {0.12, -0.15, 0.05},
            .foot_r = {-0.02, 0.16, 0.05}};
}
Pose landing() {
    return {.hip = 0.66,
            .lean = 0.46,
            .nod = -0.3,
            .hand_l = {0.35, -0.34, 0.8},
            .hand_r = {0.38, 0.28, 0.8},
            .foot_l = {0.10, -0.20, 0},
            .foot_r = {-0.08, 0.20, 0}};
}
Pose arms_back() {
    return {.hip = 0.70,
            .lean = 0.55,
            .nod = -0.6,
            .hand_l = {-0.42, -0.30, 0.95},
            .hand_r = {-0.42, 0.30, 0.95},
            .foot_l = {0.25, -0.16, 0},
            .foot_r = {-0.12, 0.16, 0}};
}
Pose platform(double hip, double hands_z, double reach) {
    return {.hip = hip,
            .lean = 0.55,
            .nod = -0.45,
            .hand_l = {reach, -0.05, hands_z},
            .hand_r = {reach, 0.05, hands_z},
            .foot_l = {0.18, -0.30, 0},
            .foot_r = {-0.16, 0.30, 0}};
}
Pose overhead(double hip, double hands_z, double lean) {
    return {.hip = hip,
            .lean = lean,
            .nod = -0.5,
            .hand_l = {0.20, -0.13, hands_z},
            .hand_r = {0.20, 0.13, hands_z},
            .foot_l = {0.12, -0.16, 0},
            .foot_r = {-0.10, 0.16, 0}};
}
Pose wall(double lift, double reach_z) {
    return {.hip = 0.98,
            .lean = 0.05,
            .nod = -0.15,
            .lift = lift,
            .hand_l = {0.24, -0.19, reach_z},
            .hand_r = {0.24, 0.19, reach_z},
            .foot_l = {-0.06, -0.12, 0.06},
            .foot_r = {-0.10, 0.12, 0.10}};
}
Pose dive(double hip, double hands_z) {
    return {.hip = hip,
            .lean = 1.02,
            .nod = -0.75,
            .hand_l = {0.85, -0.05, hands_z},
            .hand_r = {0.85, 0.05, hands_z},
            .foot_l = {0.22, -0.26, 0},
            .foot_r = {-0.75, 0.24, 0.04}};
}
Pose toss() {
    return {.hip = 0.94,
            .lean = 0.05,
            .nod = -0.3,
            .hand_l = {0.42, -0.10, 1.35},
            .hand_r = {0.10, 0.30, 0.95},
            .foot_l = {0.16, -0.14, 0},
            .foot_r = {-0.12, 0.15, 0}};
}

} // namespace

std::span<const Key> serve_keys() {
    static const std::array<Key, 9> keys{{{-1.45, poses::stand()},
                                          {-1.15, toss()},
                                          {-0.55, arms_back()},
                                          {-0.34, takeoff(0.02)},
                                          {-0.12, cocked(0.44)},
                                          {0, strike(0.50)},
                                          {0.10, follow(0.42)},
                                          {0.34, landing()},
                                          {0.75, poses::ready()}}};
    return keys;
}

std::span<const Key> pass_keys() {
    static const std::array<Key, 5> keys{{{-0.55, poses::ready()},
                                          {-0.20, platform(0.66, 0.62, 0.62)},
                                          {0, platform(0.74, 0.74, 0.62)},
                                          {0.18, platform(0.88, 1.08, 0.58)},
                                          {0.60, poses::ready()}}};
    return keys;
}

std::span<const Key> set_keys() {
    static const std::array<Key, 6> keys{{{-0.70, poses::ready()},
                                          {-0.32, overhead(0.84, 1.72, 0.02)},
                                          {-0.08, overhead(0.84, 1.86, -0.05)},
                                          {0, overhead(0.90, 1.98, -0.04)},
                                          {0.16, overhead(0.99, 2.18, 0.04)},
                                          {0.65, poses::ready()}}};
    return keys;
}

std::span<const Key> attack_keys() {
    static const std::array<Key, 8> keys{{{-0.95, poses::ready()},
                                          {-0.52, arms_back()},
                                          {-0.34, takeoff(0.02)},
                                          {-0.12, cocked(0.54)},
                                          {0, strike(0.60)},
                                          {0.09, follow(0.52)},
                                          {0.36, landing()},
                                          {0.85, poses::ready()}}};
    return keys;
}

std::span<const Key> block_keys() {
    static const std::array<Key, 6> keys{{{-0.95, poses::ready()},
                                          {-0.42, overhead(0.68, 1.35, 0.2)},
                                          {-0.10, wall(0.40, 2.15)},
                                          {0.06, wall(0.46, 2.18)},
                                          {0.38, landing()},
                                          {0.85, poses::ready()}}};
    return keys;
}

std::span<const Key> dig_keys() {
    static const std::array<Key, 5> keys{{{-0.45, poses::ready()},
                                          {-0.12, dive(0.50, 0.40)},
                                          {0, dive(0.46, 0.42)},
                                          {0.20, dive(0.52, 0.72)},
                                          {0.85, poses::ready()}}};
    return keys;
}

} // namespace downball::sample
