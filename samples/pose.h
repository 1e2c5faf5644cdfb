// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "vec.h"

#include <span>

namespace downball::sample {

// What a body does, as targets that the limbs reach for. Hands and feet are local to the point under the
// body: x forward, y to the right, z up, metres; everything rises by `lift` in a jump.
struct Pose {
    double hip = 0.95;  // height of the pelvis
    double lean = 0.08; // of the trunk, forward, radians
    double nod = 0;     // of the head, forward, radians
    double lift = 0;
    double smile = 0; // 0..1
    Vec3 hand_l{0.1, -0.3, 0.85}, hand_r{0.1, 0.3, 0.85};
    Vec3 foot_l{0, -0.14, 0}, foot_r{0, 0.14, 0};
};
Pose mix(const Pose& a, const Pose& b, double k);

struct Key {
    double at_s; // from the contact, or from the start of a loop
    Pose pose;
};
// Between the keys; before the first and after the last, that key.
Pose pose_at(std::span<const Key> keys, double at_s);

namespace poses {
Pose stand();
Pose ready();
Pose cheer(double beat_s);    // arms up, jumping; loops
Pose fist(double beat_s);     // pumping a fist
Pose dejected(double beat_s); // hands on knees
Pose clap(double beat_s);
} // namespace poses

// Keys around a contact at 0; `lift` of attack and block is greatest at the contact.
std::span<const Key> serve_keys();
std::span<const Key> pass_keys();
std::span<const Key> set_keys();
std::span<const Key> attack_keys();
std::span<const Key> block_keys();
std::span<const Key> dig_keys();

} // namespace downball::sample
