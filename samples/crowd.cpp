// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "crowd.h"

#include "prng.h"
#include "venue.h"

#include <array>

namespace downball::sample {

Crowd::Crowd() {
    Prng dice(0xC80DDu);
    const std::array<Rgb, 9> tops{{{228, 96, 84},
                                   {246, 206, 96},
                                   {64, 142, 186},
                                   {244, 244, 240},
                                   {92, 168, 132},
                                   {242, 152, 96},
                                   {150, 120, 186},
                                   {40, 64, 104},
                                   {236, 170, 182}}};
    const std::array<Rgb, 5> skins{
        {{236, 190, 156}, {222, 168, 130}, {188, 134, 98}, {146, 98, 68}, {102, 68, 48}}};
    const std::array<Rgb, 4> hairs{{{52, 36, 28}, {104, 70, 42}, {206, 166, 92}, {150, 150, 152}}};
    const std::array<Rgb, 4> shorts{{{52, 66, 98}, {202, 190, 164}, {86, 92, 92}, {38, 44, 58}}};
    for (int row = stand_rows - 1; row >= 0; --row)
        for (double x = stand_left + 0.45; x < stand_right - 0.3; x += 0.66) {
            if (dice.chance(0.16)) continue;
            Person p;
            p.seat = {x + dice.range(-0.1, 0.1), stand_front + row * row_depth + 0.35, (row + 1) * row_rise};
            p.top = tops[static_cast<std::size_t>(dice.below(9))];
            p.skin = skins[static_cast<std::size_t>(dice.below(5))];
            p.hair = hairs[static_cast<std::size_t>(dice.below(4))];
            p.hat = tops[static_cast<std::size_t>(dice.below(9))];
            p.shorts = shorts[static_cast<std::size_t>(dice.below(4))];
            p.has_hat = dice.chance(0.45);
            p.waves = dice.chance(0.6);
            p.phase = dice.unit();
            p.temper = dice.range(0.35, 1);
            people_.push_back(p);
        }
}

void Crowd::draw(Canvas& canvas, const Camera& camera, const Light& light, double at_s, double joy) const {
    const Vec2 towards = camera.on_screen_direction(light.sun);
    const auto matt = [&](Rgb c) { return Paint{in_sun(light, c), in_shade(light, c), towards, 0.15}; };
    for (const Person& p : people_) {
        const double mood = clamp01(joy * 1.4 * p.temper);
        const double beat = std::abs(std::sin(pi * (at_s * (1.1 + 0.5 * p.temper) + p.phase)));
        const double rise = mood > 0.55 ? 0.42 * ramp(0.5, 0.8, mood) + 0.10 * beat * mood : 0.02 * beat;
        const double sway = 0.03 * std::sin(2 * pi * (0.23 * at_s + p.phase));
        const Vec3 hip = p.seat + Vec3{sway * 0.3, 0, 0.05 + rise};
        const Vec3 neck = hip + Vec3{sway, 0.02, 0.52};
        const auto h = camera.see(hip), n = camera.see(neck);
        if (!h || !n || n->at.x < -40 || n->at.x > picture_width + 40 || n->at.y < -60 ||
            n->at.y > picture_height + 60)
            continue;
        const double s = n->scale;
        const auto at = [&](double dx, double dz) { return n->at + Vec2{dx, -dz} * s; };
        // Thighs towards the court, then trunk, arms and head.
        const auto limb = [&](Vec2 a, Vec2 b, double ra, double rb, Rgb c) {
            canvas.capsule(a, b, ra * s, rb * s, matt(c));
        };
        // Seated, the thighs point at the court and look short; standing, they are seen whole.
        for (const double side : {-1.0, 1.0}) {
            const Vec2 from = h->at + Vec2{side * 0.10, 0.02} * s;
            const Vec2 knee = from + Vec2{side * 0.03, 0.14 + 0.5 * rise} * s;
            limb(knee, knee + Vec2{0, 0.36} * s, 0.062, 0.045, p.skin);
            limb(from, knee, 0.09, 0.08, p.shorts);
        }
        const Vec2 shoulders[4] = {at(-0.13, -0.06), at(0.13, -0.06), h->at + Vec2{0.10, 0} * s,
                                   h->at + Vec2{-0.10, 0} * s};
        canvas.polygon(shoulders, matt(p.top), 0.09 * s);
        const double clap = 0.05 + 0.12 * std::abs(std::sin(pi * (at_s * (2.4 + p.temper) + p.phase)));
        for (const double side : {-1.0, 1.0}) {
            const Vec2 shoulder = at(side * 0.19, -0.07);
            Vec2 elbow = at(side * 0.27, -0.30), hand = at(side * 0.10, -0.44);
            if (mood > 0.3) {
                elbow = mix(elbow, at(side * 0.27, -0.22), ramp(0.3, 0.5, mood));
                hand = mix(hand, at(side * clap, -0.12), ramp(0.3, 0.5, mood));
            }
            if (p.waves) {
                const double up = ramp(0.6, 0.9, mood);
                elbow = mix(elbow, at(side * 0.32, 0.10), up);
                hand = mix(hand, at(side * (0.28 + 0.08 * std::sin(9 * at_s + 6 * p.phase)), 0.42), up);
            }
            limb(shoulder, elbow, 0.05, 0.042, p.top);
            limb(elbow, hand, 0.04, 0.04, p.skin);
        }
        const Vec2 head = at(sway, 0.15);
        canvas.circle(head, 0.115 * s, matt(p.hair));
        canvas.ellipse(head + Vec2{0, 0.025} * s, Vec2{0, 0.10} * s, 0.088 * s, matt(p.skin));
        if (s > 26) {
            for (const double side : {-1.0, 1.0})
                canvas.circle(head + Vec2{side * 0.036, 0.005} * s, 0.017 * s, Paint({40, 34, 36}));
            canvas.ellipse(head + Vec2{0, 0.060} * s, Vec2{0.034, 0} * s, (0.006 + 0.026 * mood) * s,
                           Paint(mix(Rgb{146, 88, 76}, Rgb{128, 40, 46}, mood)));
        }
        if (p.has_hat) {
            canvas.ellipse(head - Vec2{0, 0.075} * s, Vec2{0.105, 0} * s, 0.06 * s, matt(p.hat));
            canvas.ellipse(head - Vec2{0, 0.05} * s, Vec2{0.16, 0} * s, 0.026 * s, matt(p.hat * 0.86));
        } else {
            canvas.ellipse(head - Vec2{0, 0.072} * s, Vec2{0.10, 0} * s, 0.05 * s, matt(p.hair));
        }
    }
}

} // namespace downball::sample
