// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "venue.h"

#include "glyphs.h"
#include "rally.h"

#include <array>
#include <span>

namespace downball::sample {
namespace {

class Brush {
  public:
    Brush(Canvas& canvas, const Camera& camera, const Light& light)
        : canvas_(canvas), camera_(camera), light_(light) {}

    Paint matt(Rgb c, bool sunny = true) const {
        return Paint(sunny ? in_sun(light_, c) : in_shade(light_, c));
    }
    void face(std::span<const Vec3> corners, const Paint& paint) const {
        std::vector<Vec2> on_screen;
        for (const Vec3 c : corners) {
            const auto s = camera_.see(c);
            if (!s) return;
            on_screen.push_back(s->at);
        }
        canvas_.polygon(on_screen, paint, 0.15);
    }
    void rod(Vec3 a, Vec3 b, double radius, const Paint& paint, double least = 0.45) const {
        const auto s = camera_.see(a), e = camera_.see(b);
        if (s && e)
            canvas_.capsule(s->at, e->at, std::max(least, radius * s->scale),
                            std::max(least, radius * e->scale), paint);
    }
    std::optional<OnScreen> see(Vec3 p) const { return camera_.see(p); }
    Canvas& canvas() const { return canvas_; }

  private:
    Canvas& canvas_;
    const Camera& camera_;
    const Light& light_;
};

} // namespace

void draw_stands(Canvas& canvas, const Camera& camera, const Light& light) {
    const Brush brush(canvas, camera, light);
    const double back = stand_front + stand_rows * row_depth;
    // Shade behind and under the benches, then the steps from the back to the front.
    for (int row = stand_rows - 1; row >= 0; --row) {
        const double y0 = stand_front + row * row_depth, y1 = row + 1 == stand_rows ? back : y0 + row_depth;
        const double z0 = row * row_rise, z1 = z0 + row_rise;
        const Vec3 front[4] = {
            {stand_left, y0, z0}, {stand_right, y0, z0}, {stand_right, y0, z1}, {stand_left, y0, z1}};
        const Vec3 top[4] = {
            {stand_left, y0, z1}, {stand_right, y0, z1}, {stand_right, y1, z1}, {stand_left, y1, z1}};
        brush.face(top, brush.matt({214, 206, 190}));
        brush.face(front, brush.matt({120, 116, 120}, false));
    }
    // Boards along the free zone: stripes of the tournament's own colours, a name on every second one.
    const std::array<Rgb, 3> colours{{{20, 78, 118}, {240, 196, 74}, {236, 240, 238}}};
    for (int i = 0; i < 12; ++i) {
        const double x0 = -9.6 + i * 1.6, x1 = x0 + 1.55, y = 7.4, h = 0.62;
        const Vec3 panel[4] = {{x0, y, 0}, {x1, y, 0}, {x1, y, h}, {x0, y, h}};
        const Rgb colour = colours[static_cast<std::size_t>(i % 3)];
        brush.face(panel, brush.matt(colour));
        const auto s = brush.see({x0 + 0.12, y, h - 0.12}), e = brush.see({x1, y, h - 0.12});
        if (!s || !e || s->scale < 14 || e->at.x <= s->at.x) continue;
        const std::string_view word = i % 3 == 0 ? "LARKHAVEN" : i % 3 == 1 ? "BAY CUP" : "GULLS-TERNS";
        const double cell = (e->at.x - s->at.x) * 0.92 / (text_width(word, 1));
        draw_text(canvas, word, s->at, std::min(cell, s->scale * 0.055),
                  in_sun(light, i % 3 == 0 ? Rgb{245, 245, 240} : Rgb{24, 60, 96}));
    }
}

void draw_umbrellas(Canvas& canvas, const Camera& camera, const Light& light) {
    const Brush brush(canvas, camera, light);
    struct One {
        Vec3 at;
        Rgb first, second;
    };
    const One all[] = {{{-17, 12.5, 0}, {236, 190, 70}, {245, 240, 228}},
                       {{15, 13, 0}, {222, 84, 72}, {245, 240, 228}},
                       {{19, 11, 0}, {52, 140, 150}, {245, 240, 228}},
                       {umbrella_at, {226, 88, 76}, {246, 240, 226}},
                       {{13.2, 9.2, 0}, {60, 124, 178}, {245, 240, 228}}};
    for (const One& u : all) {
        const Vec3 top = u.at + Vec3{0.15, 0, 2.45};
        brush.rod(u.at, top, 0.03, brush.matt({232, 228, 220}));
        constexpr int ribs = 16;
        const auto rim = [&](int i) {
            const double a = 2 * pi * i / ribs;
            return top + Vec3{1.5 * std::cos(a), 1.5 * std::sin(a), -0.62 + (i % 2 == 0 ? 0.0 : 0.06)};
        };
        for (const bool far : {true, false})
            for (int i = 0; i < ribs; ++i) {
                const bool behind = dot(rim(i) - u.at, camera.eye() - u.at) < 0;
                if (behind != far) continue;
                const Vec3 wedge[3] = {top, rim(i), rim(i + 1)};
                const Rgb c = i / 2 % 2 == 0 ? u.first : u.second;
                brush.face(wedge, far ? brush.matt(c * 0.85, false)
                                      : Paint(mix(in_shade(light, c), in_sun(light, c),
                                                  0.6 + 0.4 * ((i % 4) / 3.0))));
            }
    }
}

void draw_board(Canvas& canvas, const Camera& camera, const Light& light, int set, int a, int b) {
    const Brush brush(canvas, camera, light);
    const Vec3 c = board_at;
    for (const double x : {-1.15, 1.15})
        brush.rod({c.x + x, c.y + 0.05, 0}, {c.x + x, c.y + 0.05, c.z}, 0.05, brush.matt({90, 92, 98}));
    const auto plate = [&](double w, double low, double high, double y, Rgb colour) {
        const Vec3 p[4] = {{c.x - w, y, c.z + low},
                           {c.x + w, y, c.z + low},
                           {c.x + w, y, c.z + high},
                           {c.x - w, y, c.z + high}};
        brush.face(p, brush.matt(colour));
    };
    plate(1.55, -0.95, 0.95, c.y, {226, 228, 224});
    plate(1.47, -0.87, 0.87, c.y - 0.01, {18, 34, 54});
    const auto s = brush.see({c.x, c.y, c.z});
    if (!s || s->scale < 8) return;
    const auto text = [&](std::string_view word, double x, double z, double cell, Rgb colour) {
        const auto at = brush.see({c.x + x, c.y, c.z + z});
        if (at)
            draw_text(canvas, word, at->at - Vec2{text_width(word, cell * s->scale) / 2, 0}, cell * s->scale,
                      colour);
    };
    text("TERNS", -0.72, 0.70, 0.036, {244, 148, 120});
    text("GULLS", 0.72, 0.70, 0.036, {120, 214, 214});
    text(std::to_string(a), -0.72, 0.22, 0.085, {255, 214, 92});
    text(std::to_string(b), 0.72, 0.22, 0.085, {255, 214, 92});
    text("SET " + std::to_string(set), 0, -0.50, 0.04, {224, 230, 234});
}

void draw_flags(Canvas& canvas, const Camera& camera, const Light& light, double at_s) {
    const Brush brush(canvas, camera, light);
    const std::array<Rgb, 4> colours{{{240, 196, 74}, {28, 104, 148}, {226, 88, 76}, {244, 242, 234}}};
    for (int i = 0; i < 7; ++i) {
        const double x = -9 + i * 3.0, y = 12.2;
        const Vec3 foot{x, y, 0}, top{x, y, 4.9};
        brush.rod(foot, top, 0.03, brush.matt({236, 236, 232}));
        constexpr int strips = 10;
        const auto edge = [&](int k, double z) {
            const double u = k / double(strips);
            const double wave = std::sin(7.5 * u - at_s * 6.5 + i * 1.9) * 0.20 * u;
            return Vec3{x + 1.5 * u * (1 - 0.05 * u), y + wave, z - 0.22 * u * u + 0.07 * wave};
        };
        for (int k = 0; k < strips; ++k) {
            const Vec3 quad[4] = {edge(k, 4.85), edge(k + 1, 4.85), edge(k + 1, 3.95), edge(k, 3.95)};
            const double slope = std::cos(7.5 * (k + 0.5) / strips - at_s * 6.5 + i * 1.9);
            const Rgb c = k * 3 / strips == 1 ? colours[static_cast<std::size_t>((i + 1) % 4)]
                                              : colours[static_cast<std::size_t>(i % 4)];
            brush.face(quad, Paint(mix(in_shade(light, c), in_sun(light, c), 0.62 + 0.38 * slope)));
        }
    }
}

void draw_boat(Canvas& canvas, const Camera& camera, const Light& light, double at_s) {
    const Brush brush(canvas, camera, light);
    for (const auto& [x0, y, size, speed] :
         {std::array<double, 4>{-30, 95, 1.0, 1.3}, {34, 150, 1.3, -0.8}, {70, 120, 0.9, -1.6}}) {
        const double x = x0 + speed * at_s, bob = 0.12 * std::sin(at_s * 1.4 + x0);
        const Vec3 hull[4] = {{x - 3 * size, y, 0.9 + bob},
                              {x + 3.4 * size, y, 1.1 + bob},
                              {x + 2.4 * size, y, 0.05},
                              {x - 2.4 * size, y, 0.05}};
        const Vec3 sail[3] = {
            {x + 0.3 * size, y, 1.6}, {x + 0.3 * size, y, 9 * size}, {x - 3 * size, y, 1.6}};
        const Vec3 jib[3] = {
            {x + 0.6 * size, y, 1.5}, {x + 0.5 * size, y, 7.6 * size}, {x + 3 * size, y, 1.4}};
        brush.face(hull, brush.matt({238, 236, 230}));
        brush.face(sail, brush.matt({250, 248, 242}));
        brush.face(jib, brush.matt({236, 120, 90}));
    }
}

void draw_net(Canvas& canvas, const Camera& camera, const Light& light) {
    const Brush brush(canvas, camera, light);
    constexpr double half = 4.6, low = 1.24, high = net_height;
    const Paint mesh(in_shade(light, {70, 74, 84}), 0.36);
    for (int i = 0; i <= 92; ++i) {
        const double y = -half + i * 0.1;
        brush.rod({0, y, low}, {0, y, high}, 0.004, mesh, 0.35);
    }
    for (int i = 0; i <= 10; ++i)
        brush.rod({0, -half, low + i * 0.1}, {0, half, low + i * 0.1}, 0.004, mesh, 0.35);
    const auto tape = [&](double z, double h, Rgb colour) {
        const Vec3 band[4] = {{0, -half, z}, {0, half, z}, {0, half, z + h}, {0, -half, z + h}};
        brush.face(band, brush.matt(colour));
    };
    tape(high - 0.08, 0.085, {250, 250, 246});
    tape(low - 0.02, 0.06, {240, 214, 96});
    for (const double y : {-4.0, 4.0})
        brush.rod({0, y, low}, {0, y, high + 0.8}, 0.016, brush.matt({230, 60, 56}), 0.6);
    for (const double y : {half + 0.5, -half - 0.5}) {
        brush.rod({0, y, 0}, {0, y, high + 0.12}, 0.062,
                  {in_sun(light, {240, 200, 84}), in_shade(light, {190, 150, 60}), {-0.8, 0}, 0.2});
        brush.rod({0, y, high - 0.04}, {0, y > 0 ? half : -half, high - 0.04}, 0.008,
                  brush.matt({240, 240, 236}));
        brush.rod({0, y, low}, {0, y > 0 ? half : -half, low}, 0.008, brush.matt({240, 240, 236}));
    }
}

void draw_net_shadow(Canvas& mask, const Camera& camera, const Light& light) {
    const auto on = [&](double y, double z) {
        const Vec3 p{0, y, z};
        const Vec3 g = p - light.sun * (p.z / light.sun.z);
        return camera.see({g.x, g.y, 0});
    };
    const auto stroke = [&](double y0, double z0, double y1, double z1, double radius, double alpha) {
        const auto s = on(y0, z0), e = on(y1, z1);
        if (s && e)
            mask.capsule(s->at, e->at, std::max(0.5, radius * s->scale), std::max(0.5, radius * e->scale),
                         Paint({0, 0, 0}, alpha));
    };
    stroke(-4.6, net_height - 0.04, 4.6, net_height - 0.04, 0.03, 0.8);
    stroke(-4.6, 1.25, 4.6, 1.25, 0.02, 0.6);
    for (const double y : {-5.1, 5.1})
        stroke(y, 0, y, net_height, 0.05, 1);
}

} // namespace downball::sample
