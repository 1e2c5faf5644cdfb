// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "framing.h"

namespace downball::sample {
namespace {

double aim_height(Skill skill, bool tight) {
    switch (skill) {
    case Skill::serve:
        return tight ? 2.45 : 1.95;
    case Skill::attack:
        return tight ? 2.42 : 2.05;
    case Skill::block:
        return tight ? 2.38 : 2.05;
    case Skill::set:
        return tight ? 1.88 : 1.65;
    case Skill::pass:
        return tight ? 0.98 : 1.05;
    case Skill::dig:
        return tight ? 0.62 : 0.95;
    }
    return 1;
}

} // namespace

Aim aim_at(const Rally& rally, std::size_t i, std::size_t j, Framing framing, double stand_off) {
    const Contact &first = rally.contacts[i], &last = rally.contacts[j];
    const Vec3 middle = mix(first.ball, last.ball, 0.5);
    const double side = middle.x < 0 ? -1 : 1;
    const bool tight = framing == Framing::tight;
    const double z = 0.5 * (aim_height(first.skill, tight) + aim_height(last.skill, tight));
    // From the other half of the court one sees faces; a serve or a pass is best seen from in front too.
    const auto spanning = [&](Vec3 eye, Vec3 target, double width_m) {
        return Camera(eye, target, picture_width * length(target - eye) / width_m);
    };
    switch (framing) {
    case Framing::side_wide:
        return {Camera({-3.2, -stand_off, 3.4}, {0, 0.6, 1.9}, 31.0 * stand_off), "wide", "eye"};
    case Framing::high_wide:
        return {Camera({4.5, -stand_off, 7.4}, {0.2, 0.4, 1.3}, 33.0 * stand_off), "wide", "high"};
    case Framing::net_medium:
        return {spanning({-side * 4.2, -stand_off, 1.9}, {middle.x * 0.7, middle.y, 1.95}, 6.8), "medium",
                "eye"};
    case Framing::net_low:
        return {spanning({-side * 3.2, -stand_off, 0.45}, {middle.x * 0.7, middle.y, 1.9}, 6.2), "medium",
                "low"};
    case Framing::medium:
        return {spanning({middle.x - side * 3.6, -stand_off, 1.75}, {middle.x, middle.y, z}, 4.4), "medium",
                "eye"};
    case Framing::low:
        return {spanning({middle.x - side * 3.0, -stand_off, 0.4}, {middle.x, middle.y, z}, 4.6), "medium",
                "low"};
    case Framing::tight:
        break;
    }
    return {spanning({middle.x - side * 4.0, -stand_off, 1.7}, {middle.x, middle.y, z}, 2.7), "tight", "eye"};
}

} // namespace downball::sample
