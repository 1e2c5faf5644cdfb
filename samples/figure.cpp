// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "figure.h"

#include "glyphs.h"

#include <array>
#include <functional>
#include <string>
#include <utility>
#include <vector>

namespace downball::sample {
namespace {

constexpr double upper_arm = 0.31, forearm = 0.31, thigh = 0.46, shin = 0.46, trunk = 0.54;

// Two bones from `from` towards `to`, bent to the side of `pole`. Returns the joint between and the end
// that is really reached.
std::pair<Vec3, Vec3> reach(Vec3 from, Vec3 to, double first, double second, Vec3 pole) {
    const Vec3 way = to - from;
    const double far = std::clamp(length(way), std::abs(first - second) + 0.02, first + second - 0.004);
    const Vec3 along = unit(way);
    const double a = (far * far + first * first - second * second) / (2 * far);
    const double out = std::sqrt(std::max(0.0, first * first - a * a));
    const Vec3 side = unit(pole - along * dot(pole, along));
    return {from + along * a + side * out, from + along * far};
}

} // namespace

Body build_body(const Stance& stance, double height_m) {
    Body b;
    const Pose& p = stance.pose;
    b.size = height_m / 1.82;
    b.smile = p.smile;
    b.forward = {std::cos(stance.heading), std::sin(stance.heading), 0};
    b.right = {b.forward.y, -b.forward.x, 0};
    const Vec3 up{0, 0, 1};
    const Vec3 ground = stance.root + up * p.lift;
    const auto place = [&](Vec3 v) { return ground + (b.forward * v.x + b.right * v.y + up * v.z) * b.size; };
    b.pelvis = place({0, 0, p.hip});
    const Vec3 spine = b.forward * std::sin(p.lean) + up * std::cos(p.lean);
    b.neck = b.pelvis + spine * (trunk * b.size);
    const double look = p.lean * 0.6 + p.nod;
    b.head = b.neck + (b.forward * std::sin(look) + up * std::cos(look)) * (0.235 * b.size);
    for (int i = 0; i < 2; ++i) {
        const double s = i == 0 ? -1 : 1;
        b.shoulder[i] = b.neck - spine * (0.05 * b.size) + b.right * (s * 0.195 * b.size);
        b.hip[i] = b.pelvis - up * (0.03 * b.size) + b.right * (s * 0.105 * b.size);
        const Vec3 out = b.right * (0.75 * s) - b.forward * 0.35 - up * 0.55;
        std::tie(b.elbow[i], b.hand[i]) = reach(b.shoulder[i], place(i == 0 ? p.hand_l : p.hand_r),
                                                upper_arm * b.size, forearm * b.size, out);
        const Vec3 sole = place(i == 0 ? p.foot_l : p.foot_r) + up * (0.07 * b.size);
        std::tie(b.knee[i], b.foot[i]) =
            reach(b.hip[i], sole, thigh * b.size, shin * b.size, b.forward + b.right * (0.25 * s));
        b.toe[i] = b.foot[i] + (b.forward * 0.17 - up * 0.045) * b.size;
    }
    return b;
}

Vec3 shadow_of(Vec3 point, const Light& light) {
    const Vec3 on = point - light.sun * (point.z / light.sun.z);
    return {on.x, on.y, 0};
}

namespace {

class Painter {
  public:
    Painter(Canvas& canvas, const Camera& camera, const Light& light, const Look& look, const Body& body)
        : canvas_(canvas), camera_(camera), light_(light), look_(look), b_(body),
          towards_(camera.on_screen_direction(light.sun)) {}

    void draw() {
        for (int i = 0; i < 2; ++i) {
            part(b_.hip[i], b_.toe[i], 0.0, [this, i] { leg(i); });
            part(b_.shoulder[i], b_.hand[i], 0.0, [this, i] { arm(i); });
        }
        part(b_.pelvis, b_.neck, 0.0, [this] { torso(); });
        part(b_.head, b_.head, -0.12, [this] { head(); });
        // Far parts first; equal depths keep the order above.
        std::stable_sort(parts_.begin(), parts_.end(),
                         [](const auto& x, const auto& y) { return x.first > y.first; });
        for (const auto& p : parts_)
            p.second();
    }

  private:
    Paint matt(Rgb base, double edge = 0.28) const {
        return {in_sun(light_, base), in_shade(light_, base), towards_, edge};
    }
    void part(Vec3 a, Vec3 c, double nearer, std::function<void()> paint) {
        const Vec3 middle = mix(a, c, 0.5);
        parts_.emplace_back(length(middle - camera_.eye()) + nearer, std::move(paint));
    }
    void bone(Vec3 a, Vec3 c, double ra, double rc, const Paint& paint) {
        const auto s = camera_.see(a), e = camera_.see(c);
        if (!s || !e) return;
        const double least = 0.55; // thinner than a pixel would vanish in the distance
        canvas_.capsule(s->at, e->at, std::max(least, ra * b_.size * s->scale),
                        std::max(least, rc * b_.size * e->scale), paint);
    }
    void leg(int i) {
        bone(b_.knee[i], b_.foot[i], 0.056, 0.038, matt(look_.skin));
        bone(b_.foot[i], b_.toe[i], 0.040, 0.032, matt(look_.skin));
        bone(b_.hip[i], b_.knee[i], 0.085, 0.058, matt(look_.skin));
        bone(b_.hip[i], mix(b_.hip[i], b_.knee[i], 0.42), 0.095, 0.085, matt(look_.shorts));
    }
    void arm(int i) {
        bone(b_.elbow[i], b_.hand[i], 0.040, 0.031, matt(look_.skin));
        const Vec3 fingers = b_.hand[i] + unit(b_.hand[i] - b_.elbow[i]) * (0.09 * b_.size);
        bone(b_.hand[i], fingers, 0.040, 0.026, matt(look_.skin));
        bone(b_.shoulder[i], b_.elbow[i], 0.054, 0.041, matt(look_.skin));
    }
    void torso() {
        const Vec3 corners[4] = {b_.shoulder[0], b_.shoulder[1], b_.hip[1], b_.hip[0]};
        std::array<Vec2, 4> on_screen;
        double scale = 0;
        for (std::size_t i = 0; i < 4; ++i) {
            const auto s = camera_.see(i < 2 ? mix(corners[i], b_.neck, 0.22) : corners[i]);
            if (!s) return;
            on_screen[i] = s->at;
            scale = s->scale;
        }
        bone(b_.neck, mix(b_.neck, b_.head, 0.45), 0.058, 0.055, matt(look_.skin));
        canvas_.polygon(on_screen, matt(look_.top), std::max(0.8, 0.085 * b_.size * scale));
        const Vec3 waist_l = mix(b_.hip[0], b_.pelvis, 0.15), waist_r = mix(b_.hip[1], b_.pelvis, 0.15);
        bone(waist_l, waist_r, 0.098, 0.098, matt(look_.shorts, 0.1));
        if (look_.number > 0 && scale > 45) {
            const bool back = dot(b_.forward, camera_.eye() - b_.pelvis) < 0;
            const Vec3 chest = mix(b_.pelvis, b_.neck, 0.66) + b_.forward * (back ? -0.09 : 0.09);
            const double facing = std::abs(dot(unit(camera_.eye() - b_.pelvis), b_.forward));
            if (const auto s = camera_.see(chest); s && facing > 0.45)
                draw_text(canvas_, std::to_string(look_.number), s->at - Vec2{0.065, 0.09} * scale,
                          scale * 0.026, in_sun(light_, {250, 250, 245}), 0.95);
        }
    }
    void head() {
        const auto s = camera_.see(b_.head);
        if (!s) return;
        const double r = std::max(1.2, 0.108 * b_.size * s->scale);
        const Vec2 face = Vec2{dot(b_.forward, camera_.right()), -dot(b_.forward, camera_.up())};
        const double frontal = dot(b_.forward, unit(camera_.eye() - b_.head)); // 1 = looks at the lens
        if (frontal < 0.3) tail(s->at, r, face);
        canvas_.circle(s->at, r, matt(look_.hair));
        canvas_.ellipse(s->at + face * (r * 0.28) + Vec2{0, r * 0.16}, Vec2{0, r * 0.92}, r * 0.84,
                        matt(look_.skin));
        if (frontal > -0.2) features(s->at, r, face, frontal);
        if (look_.cap) {
            const Vec2 crown = s->at - Vec2{0, r * 0.30} + face * (r * 0.05);
            canvas_.ellipse(crown - Vec2{0, r * 0.18}, Vec2{r * 1.02, 0}, r * 0.62, matt(look_.top));
            canvas_.capsule(crown + face * (r * 0.4), crown + face * (r * 1.35) + Vec2{0, r * 0.12}, r * 0.16,
                            r * 0.12, matt(look_.top * 0.85));
        } else {
            canvas_.ellipse(s->at - Vec2{0, r * 0.62} - face * (r * 0.15), Vec2{r * 0.92, 0}, r * 0.46,
                            matt(look_.hair));
        }
        if (frontal >= 0.3) tail(s->at - face * r, r * 0.9, face);
    }
    void tail(Vec2 at, double r, Vec2 face) {
        const Vec2 root = at - face * (r * 0.8) - Vec2{0, r * 0.35};
        if (length(face) > 0.35)
            canvas_.capsule(root, root - face * (r * 0.75) + Vec2{0, r * 1.1}, r * 0.34, r * 0.16,
                            matt(look_.hair));
    }
    void features(Vec2 at, double r, Vec2 face, double frontal) {
        if (r < 5) return;
        const Vec2 middle = at + face * (r * 0.62);
        const double spread = r * 0.36 * std::max(0.25, frontal);
        // Sunglasses, then mouth; both slide with the face.
        const Paint glass({38, 40, 52}, {20, 22, 30}, towards_, 0.2);
        canvas_.capsule(middle - Vec2{spread * 1.9, 0}, middle + Vec2{spread * 1.9, 0}, r * 0.06, r * 0.06,
                        glass);
        for (const double side : {-1.0, 1.0}) {
            const Vec2 eye = middle + Vec2{side * spread, r * 0.05};
            canvas_.ellipse(eye, Vec2{spread * 0.85, 0}, r * 0.20, glass);
            canvas_.ellipse(eye - Vec2{spread * 0.25, r * 0.06}, Vec2{spread * 0.28, 0}, r * 0.05,
                            Paint({190, 215, 235}, 0.7));
        }
        canvas_.capsule(middle + Vec2{0, r * 0.22}, middle + Vec2{face.x * r * 0.12, r * 0.36}, r * 0.07,
                        r * 0.08, matt(look_.skin * 0.94, 0));
        const Vec2 mouth = middle + Vec2{0, r * 0.58};
        if (b_.smile > 0.4) {
            canvas_.ellipse(mouth, Vec2{spread * 0.95, 0}, r * 0.17, Paint({120, 34, 40}));
            canvas_.ellipse(mouth - Vec2{0, r * 0.06}, Vec2{spread * 0.8, 0}, r * 0.075,
                            Paint({246, 244, 238}));
        } else {
            canvas_.capsule(mouth - Vec2{spread * 0.6, 0}, mouth + Vec2{spread * 0.6, 0}, r * 0.05, r * 0.05,
                            Paint({150, 70, 66}));
        }
    }

    Canvas& canvas_;
    const Camera& camera_;
    const Light& light_;
    const Look& look_;
    const Body& b_;
    Vec2 towards_;
    std::vector<std::pair<double, std::function<void()>>> parts_;
};

} // namespace

void draw_body(Canvas& canvas, const Camera& camera, const Light& light, const Look& look, const Body& body) {
    Painter(canvas, camera, light, look, body).draw();
}

void draw_shadow(Canvas& mask, const Camera& camera, const Light& light, const Body& body) {
    const auto bone = [&](Vec3 a, Vec3 c, double radius) {
        const auto s = camera.see(shadow_of(a, light)), e = camera.see(shadow_of(c, light));
        if (!s || !e) return;
        // Flat on the ground: seen at a slant, a shadow is thinner than the limb.
        const double r = std::max(0.5, radius * s->scale * 0.6);
        mask.capsule(s->at, e->at, r, std::max(0.5, radius * e->scale * 0.6), Paint({0, 0, 0}));
    };
    for (int i = 0; i < 2; ++i) {
        bone(body.hip[i], body.knee[i], 0.085);
        bone(body.knee[i], body.foot[i], 0.055);
        bone(body.foot[i], body.toe[i], 0.045);
        bone(body.shoulder[i], body.elbow[i], 0.05);
        bone(body.elbow[i], body.hand[i], 0.04);
    }
    bone(body.pelvis, body.neck, 0.19);
    bone(body.head, body.head, 0.13);
}

} // namespace downball::sample
